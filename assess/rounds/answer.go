package rounds

import (
	"math"

	"clapladder.example/rhythm"
)

// An answer's pattern is looked for from a little before the end of the call until answerWait later.
const (
	answerEarly    = 0.35 // of a beat before the end of the call
	answerWait     = 6.0  // seconds
	seamlessWithin = 0.6  // of a beat: an answer this close to the end of the call is on the next bar
	ratioLow       = 0.86 // answer's step over the call's step
	ratioHigh      = 1.14
	ratioStep      = 0.02
	ratioSD        = 0.05
	waitCosts      = 0.6  // for each second
	laterCosts     = 1.0  // an answer that does not follow on the next bar
	lateSD         = 0.09 // seconds around the usual lag of an answer on the next bar
	usualLag       = -0.01
	lateMost       = 3.0
	offBarCosts    = 0.6 // an answer that neither follows at once nor waits whole beats
	answerEarns    = 9.0  // for a full correlation
	answerMiddle   = 0.38 // correlation that speaks neither for nor against
	answerMost     = 5.0
	leastActivity  = 0.12 // of a strong burst, at the notes: below it nobody claps
)

// withAnswers gives the proposal in up to three readings: answered on the next bar, answered later, and not answered.
func (f *finder) withAnswers(p proposal) []proposal {
	out := make([]proposal, 0, 3)
	beat := p.call.StepSeconds * float64(p.phrase.Steps()) / float64(p.phrase.Beats())
	if next, ok := f.answerWithin(p, -answerEarly*beat, seamlessWithin*beat); ok {
		out = append(out, next)
	}
	if later, ok := f.answerWithin(p, seamlessWithin*beat, answerWait); ok {
		out = append(out, later)
	}
	return append(out, p)
}

// answerWithin finds the best answer that begins between two delays after the end of the call.
func (f *finder) answerWithin(p proposal, from, to float64) (proposal, bool) {
	strokes := p.phrase.Strokes()
	times := make([]float64, len(strokes))
	end := p.call.At(float64(p.phrase.Steps()))
	beat := p.call.StepSeconds * float64(p.phrase.Steps()) / float64(p.phrase.Beats())
	bestScore, found := -1e9, false
	var best Answer
	try := func(delay, ratio float64) {
		m := rhythm.TimeMap{Origin: end + delay, StepSeconds: p.call.StepSeconds * ratio}
		for i, s := range strokes {
			times[i] = m.At(float64(s.Step))
		}
		last := m.At(float64(p.phrase.Steps()))
		match, mean := f.activity.pulses(times, times[0]-0.12, max(last-0.1, times[len(times)-1]+0.15))
		if mean < leastActivity {
			return
		}
		off := math.Log(ratio) / ratioSD
		score := min(answerEarns*(match-answerMiddle), answerMost) - off*off/2 - waitCosts*max(0, delay)
		if delay <= seamlessWithin*beat {
			late := (delay - usualLag) / lateSD
			score -= min(late*late/2, lateMost)
		} else {
			score -= laterCosts
			whole := delay/beat - math.Round(delay/beat)
			score -= offBarCosts * min(1, math.Abs(whole)*4)
		}
		if score > bestScore {
			bestScore, found, best = score, true, Answer{Map: m, Match: match}
		}
	}
	for delay := from; delay <= to; delay += 2 * activityStep {
		if f.activity.average(end+delay-0.05, end+delay+max(0.4, 2*beat)) < 0.02 {
			continue // silence
		}
		for ratio := ratioLow; ratio <= ratioHigh+1e-9; ratio += 2 * ratioStep {
			try(delay, ratio)
		}
	}
	if !found {
		return p, false
	}
	delay, ratio := best.Map.Origin-end, best.Map.StepSeconds/p.call.StepSeconds
	for _, d := range []float64{-0.02, -0.01, 0, 0.01, 0.02} {
		for _, r := range []float64{-ratioStep, -ratioStep / 2, 0, ratioStep / 2, ratioStep} {
			try(delay+d, ratio+r)
		}
	}
	bestScore -= f.soloAnswer(p, best)
	if bestScore < 0 {
		return p, false
	}
	p.answer, p.answered = &best, bestScore
	p.end = best.Map.At(float64(p.phrase.Steps()))
	return p, true
}

// soloAnswer is what it costs that the answer sounds like the leader: then it is the next call, or practising.
func (f *finder) soloAnswer(p proposal, a Answer) float64 {
	cost := 0.0
	for _, s := range p.phrase.Strokes() {
		if k := f.nearest.index(a.Map.At(float64(s.Step)), 0.04); k >= 0 {
			cost += max(-0.2, min(f.leader.odds[k], 2)) * 0.7
		}
	}
	return max(0, cost)
}
