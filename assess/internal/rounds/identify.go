package rounds

import (
	"math"

	"clapladder.example/rhythm"
)

// Identify finds the template whose strokes the onsets (ascending, seconds) are, one for one.
// distance is the time from the first onset to the first of the answer, 0 where unknown; it tells
// apart phrases that differ only in their silent ends.
func Identify(onsets []float64, templates []Template, distance float64) (index int, call Call, ok bool) {
	best := math.Inf(1)
	for i, t := range templates {
		strokes := t.Phrase.Strokes()
		if len(strokes) != len(onsets) || len(onsets) < 2 {
			continue
		}
		steps := make([]float64, len(strokes))
		shortest := math.Inf(1)
		for k, s := range strokes {
			steps[k] = float64(s.Step)
			if k > 0 {
				shortest = min(shortest, steps[k]-steps[k-1])
			}
		}
		m := rhythm.FitTimeMap(steps, onsets)
		ratio := m.StepSeconds / t.Phrase.StepSeconds()
		if !(ratio > 1/fastest && ratio < 1/slowest) {
			continue
		}
		cost, fits := fitCost(m, steps, onsets, identifyShare*shortest*m.StepSeconds)
		if !fits {
			continue
		}
		off := math.Log(ratio) / tempoSD
		cost += min(off*off/2, tempoMost)
		if strokes[0].Step > 0 {
			cost += silentStart
		}
		if !plain(t.Phrase) {
			cost += plainPreferred
		}
		if distance > 0 {
			bars := distance / m.StepSeconds / float64(t.Phrase.Steps())
			miss := (bars - 1) / 0.06
			cost += min(miss*miss/2, identifyBar)
		}
		if cost < best {
			best, index, ok = cost, i, true
			call = Call{Phrase: t.Phrase.WithTempo(m.Tempo(t.Phrase)), Map: m, Onsets: onsets}
		}
	}
	return index, call, ok
}

// fitCost is the sum of squared misses; fits is false where one is larger than most.
func fitCost(m rhythm.TimeMap, steps, onsets []float64, most float64) (cost float64, fits bool) {
	for k, at := range onsets {
		late := at - m.At(steps[k])
		if math.Abs(late) > most {
			return 0, false
		}
		cost += min(late*late/(2*identifySD*identifySD), 3)
	}
	return cost, true
}
