package exchange

import (
	"slices"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
)

// Believed reports whether there is call and response at all.
func (j Judgement) Believed() bool { return len(j.Stretches) > 0 }

// TooFew reports whether nothing is believed only because there are few rounds, as where a leader
// calls twice and stops.
func (j Judgement) TooFew() bool {
	if j.Believed() || j.answered == 0 || j.answered > enoughRounds {
		return false
	}
	return j.Best.Evidence.Odds()+j.Best.Evidence.few() >= believed
}

// Keep is what belongs to the stretches believed: their rounds, and calls next to them that nobody
// answered. Where nothing is believed, calls are kept and answers are not claimed. found is left as
// it is.
func (j Judgement) Keep(found []rounds.Round) []rounds.Round {
	var out []rounds.Round
	for _, r := range found {
		switch {
		case !j.Believed():
			if r.Attempt < 2 {
				r.Answer = nil
				out = append(out, r)
			}
		case j.holds(r):
			out = append(out, r)
		}
	}
	return out
}

// nearCall is how far from a stretch an unanswered call may begin, in seconds, to belong to it.
const nearCall = 15.0

func (j Judgement) holds(r rounds.Round) bool {
	margin := 0.0
	if r.Answer == nil {
		margin = nearCall
	}
	for _, s := range j.Stretches {
		if r.Start() >= s.Start-margin-1e-6 && r.Start() <= s.End+margin+1e-6 {
			return true
		}
	}
	return false
}

// Spans are the stretches believed with a margin in seconds on either side, joined where they meet,
// within a recording of the given length.
func (j Judgement) Spans(margin, seconds float64) []onset.Span {
	var out []onset.Span
	for _, s := range j.Stretches {
		from, to := max(0, s.Start-margin), min(seconds, s.End+margin)
		if n := len(out); n > 0 && from <= out[n-1].End {
			out[n-1].End = max(to, out[n-1].End)
			continue
		}
		out = append(out, onset.Span{Start: from, End: to})
	}
	return out
}

// Outside are the spans of a recording between the given ones, in order of time, from a least
// length in seconds on.
func Outside(spans []onset.Span, seconds, least float64) []onset.Span {
	var out []onset.Span
	at := 0.0
	for _, s := range append(slices.Clone(spans), onset.Span{Start: seconds, End: seconds}) {
		if s.Start-at >= least {
			out = append(out, onset.Span{Start: at, End: s.Start})
		}
		at = s.End
	}
	return out
}

// Disturbed reports whether what lies outside the stretches believed is enough to mislead the
// search for rounds: answers that are none, or as many strokes as a third of those inside.
func (j Judgement) Disturbed(a *onset.Analysis, found []rounds.Round) bool {
	for _, r := range found {
		if r.Answer != nil && !j.holds(r) {
			return true
		}
	}
	spans := j.Spans(nearCall, a.Envelope.Seconds())
	inside := 0
	for _, x := range a.Attacks {
		for _, s := range spans {
			if x.Time >= s.Start && x.Time < s.End {
				inside++
				break
			}
		}
	}
	return 3*(len(a.Attacks)-inside) > inside
}
