package rounds

import (
	"math"
	"slices"
)

// settle looks at the chosen rounds as a sequence: count-ins are dropped, readings that the same
// claps allow are told apart by the running pulse, improvised calls are transcribed.
func (r *recording) settle(chosen, all []proposal) []proposal {
	chosen = dropLonely(dropCountIns(chosen))
	for i := range chosen {
		if chosen[i].template < 0 {
			chosen[i] = r.transcribed(chosen[i])
			continue
		}
		if i > 0 {
			chosen[i] = onPulse(chosen[i], chosen[i-1], all)
		}
	}
	out := chosen[:0]
	for _, p := range chosen {
		if !p.phrase.IsZero() {
			out = append(out, p)
		}
	}
	return out
}

// dropCountIns removes unanswered calls of plain beats that lead straight into another call at the
// same tempo.
func dropCountIns(chosen []proposal) []proposal {
	var out []proposal
	for i, p := range chosen {
		if p.answer == nil && i+1 < len(chosen) && chosen[i+1].template >= 0 {
			next := chosen[i+1]
			beat := p.call.BeatSeconds(p.phrase)
			same := math.Abs(math.Log(next.call.BeatSeconds(next.phrase)/beat)) < countInTempo
			if same && next.call.Origin-p.end < countInWithin*beat && onlyBeats(p) {
				continue
			}
		}
		out = append(out, p)
	}
	return out
}

// dropLonely removes weak rounds where a recording has hardly any.
func dropLonely(chosen []proposal) []proposal {
	answered := 0
	for _, p := range chosen {
		if p.answer != nil {
			answered++
		}
	}
	if answered >= lonelyBelow {
		return chosen
	}
	return slices.DeleteFunc(chosen, func(p proposal) bool { return p.answer != nil && p.total() < lonelyLeast })
}

// onlyBeats reports whether every stroke lies on a beat.
func onlyBeats(p proposal) bool {
	for _, s := range p.phrase.Strokes() {
		if p.phrase.BeatSteps()[p.phrase.BeatAt(s.Step)] != s.Step {
			return false
		}
	}
	return true
}

// onPulse replaces a round by another reading of the same attacks where only that one begins
// exactly where the round before ended.
func onPulse(p, before proposal, all []proposal) proposal {
	if math.Abs(p.call.Origin-before.end) < onThePulse*p.call.BeatSeconds(p.phrase) {
		return p
	}
	best := p
	for _, q := range all {
		if q.template < 0 || q.start != p.start || len(q.matched) != len(p.matched) || (q.answer == nil) != (p.answer == nil) {
			continue
		}
		if q.matched[len(q.matched)-1] != p.matched[len(p.matched)-1] || q.total() < p.total()-equalReading {
			continue
		}
		if math.Abs(q.call.Origin-before.end) < onThePulse*q.call.BeatSeconds(q.phrase) && (best.start != q.start || best.template == p.template || q.total() > best.total()) {
			best = q
		}
	}
	return best
}

// transcribed gives an improvised call its notation and puts its maps on the phrase's grid.
func (r *recording) transcribed(p proposal) proposal {
	onsets := make([]float64, len(p.matched))
	for i, k := range p.matched {
		onsets[i] = r.attacks[k].Time
	}
	distance := p.answer.Map.Origin - onsets[0]
	t, ok := Transcribe(onsets, distance)
	if !ok {
		return p
	}
	p.phrase, p.call = t.Phrase, t.Map
	first := float64(p.phrase.Strokes()[0].Step)
	answer := *p.answer
	ratio := answer.Map.StepSeconds
	answer.Map.StepSeconds = t.Map.StepSeconds * ratio
	answer.Map.Origin -= first * answer.Map.StepSeconds
	p.answer = &answer
	p.end = answer.Map.At(float64(p.phrase.Steps()))
	return p
}
