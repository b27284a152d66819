package rounds

import (
	"math"

	"clapladder.example/rhythm"
)

// confidenceScale turns what a round earned above its threshold into odds.
const confidenceScale = 5.0

// rounds turns the selected proposals into results.
func (f *finder) rounds(chosen []proposal) []Round {
	out := make([]Round, 0, len(chosen))
	for _, p := range chosen {
		r := Round{Template: p.template, Answer: p.answer, Attempt: 1}
		r.Call = Call{Phrase: p.phrase.WithTempo(p.call.Tempo(p.phrase)), Map: p.call, Low: f.low(p)}
		for _, k := range p.matched {
			if k >= 0 {
				r.Call.Onsets = append(r.Call.Onsets, f.attacks[k].Time)
			}
		}
		if r.Answer != nil {
			f.findLeader(r.Answer, p.phrase)
		}
		r.Confidence = 1 / (1 + math.Exp(-(p.total()-threshold(p))/confidenceScale))
		out = append(out, r)
	}
	return f.withRepeats(out)
}

// The leader plays along where this share of the notes has a stroke of the leader within alongReach seconds.
const (
	alongShare = 0.6
	alongReach = 0.09
	alongLeast = 0.5 // how far an attack must be the leader's
)

// findLeader marks the leader's strokes within an answer.
func (f *finder) findLeader(a *Answer, p rhythm.Phrase) {
	strokes := p.Strokes()
	hits := 0
	last := math.Inf(-1)
	for _, s := range strokes {
		at := a.Map.At(float64(s.Step))
		for k := range f.attacks {
			t := f.attacks[k].Time
			if math.Abs(t-at) < alongReach && t > last && f.leader.share(k) > alongLeast {
				a.Leader = append(a.Leader, t)
				last = t
				hits++
				break
			}
		}
	}
	a.Along = float64(hits) >= alongShare*float64(len(strokes))
	if !a.Along {
		a.Leader = nil
	}
}

// A repeated answer must be clearer than a first one: nothing called for it.
const (
	repeatMatch = 0.5
	repeatEarly = 0.35 // of a beat
	repeatLate  = 4.0
)

// withRepeats adds answers that follow an answer without a new call.
func (f *finder) withRepeats(rounds []Round) []Round {
	var out []Round
	for i, r := range rounds {
		out = append(out, r)
		until := f.analysis.Envelope.Seconds()
		if i+1 < len(rounds) {
			until = rounds[i+1].Call.Start()
		}
		for r.Answer != nil {
			next, ok := f.repeat(r, until)
			if !ok {
				break
			}
			out, r = append(out, next), next
		}
	}
	return out
}

// repeat looks for one more answer between the end of the last and a time.
func (f *finder) repeat(r Round, until float64) (Round, bool) {
	p := proposal{phrase: r.Call.Phrase, call: r.Answer.Map}
	steps := float64(p.phrase.Steps())
	end := r.Answer.Map.At(steps)
	beat := r.Answer.Map.BeatSeconds(p.phrase)
	if until-end < 0.8*r.Answer.Map.StepSeconds*steps {
		return r, false
	}
	again, ok := f.seek(p, new(scratch)).answered(p, -repeatEarly*beat, repeatLate*beat)
	if !ok || again.answer.Match < repeatMatch || again.end > until+earlyNext {
		return r, false
	}
	r.Answer, r.Attempt = again.answer, r.Attempt+1
	return r, true
}
