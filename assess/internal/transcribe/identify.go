package transcribe

import (
	"math"

	"clapladder.example/rhythm"
)

// Identify finds the phrase whose strokes the onsets (ascending, seconds) are, one for one, and the
// steps of the phrase in seconds. distance is the time from the first onset to the first of the
// answer, 0 where unknown; it tells apart phrases that differ only in their silent ends.
func Identify(
	onsets []float64, phrases []rhythm.Phrase, distance float64,
) (index int, line rhythm.TimeMap, ok bool) {
	best := math.Inf(1)
	for i, p := range phrases {
		strokes := p.Strokes()
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
		ratio := m.StepSeconds / p.StepSeconds()
		if !(ratio > 1/Fastest && ratio < 1/Slowest) {
			continue
		}
		cost, fits := fitCost(m, steps, onsets, identifyShare*shortest*m.StepSeconds)
		if !fits {
			continue
		}
		off := math.Log(ratio) / TempoSD
		cost += min(off*off/2, TempoMost)
		if strokes[0].Step > 0 {
			cost += SilentStart
		}
		if !Plain(p) {
			cost += PlainPreferred
		}
		if distance > 0 {
			bars := distance / m.StepSeconds / float64(p.Steps())
			miss := (bars - 1) / 0.06
			cost += min(miss*miss/2, identifyBar)
		}
		if cost < best {
			best, index, line, ok = cost, i, m, true
		}
	}
	return index, line, ok
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

// Plain reports whether a phrase is made of claps alone. Of phrases that sound alike the plain one
// is meant.
func Plain(p rhythm.Phrase) bool {
	for _, s := range p.Strokes() {
		if s.Sound != rhythm.Clap {
			return false
		}
	}
	return true
}
