package rounds

import (
	"math"
	"slices"
)

// habit is when answers begin after their calls in this recording: most leaders always let the group in on the next bar, or always after the
// same breath.
type habit struct {
	delay  float64 // seconds after the end of the call
	sd     float64 // seconds
	weight float64 // 0 to 1: how far it is kept; 0 as long as nothing is known
}

const (
	habitLeast  = 3    // answers that make a habit
	habitDoubt  = 2.0  // answers' worth of doubt
	habitSD     = 0.08 // seconds: the least that answers stray
	habitLoose  = 0.3  // seconds: straying more is no habit
	habitBreaks = 4.5  // most that breaking it costs
)

// learnHabit looks at the answers of the chosen rounds.
func learnHabit(chosen []proposal) habit {
	var delays []float64
	for _, p := range chosen {
		if p.answer != nil && p.template >= 0 {
			delays = append(delays, p.answer.Map.Origin-p.call.At(float64(p.phrase.Steps())))
		}
	}
	if len(delays) < habitLeast {
		return habit{}
	}
	h := habit{delay: middle(delays)}
	off := make([]float64, len(delays))
	for i, d := range delays {
		off[i] = math.Abs(d - h.delay)
	}
	h.sd = max(habitSD, 1.4826*middle(off)) // of a normal law's median deviation
	if h.sd > habitLoose {
		return habit{}
	}
	kept := 0.0
	for _, d := range off {
		if d < 2*h.sd {
			kept++
		}
	}
	h.weight = kept / (float64(len(delays)) + habitDoubt)
	return h
}

// costs is what an answer after the given delay costs, where it would cost otherwise without a habit.
func (h habit) costs(delay, otherwise float64) float64 {
	if h.weight == 0 {
		return otherwise
	}
	off := (delay - h.delay) / h.sd
	return h.weight*min(off*off/2, habitBreaks) + (1-h.weight)*otherwise
}

// middle is the median of at least one value.
func middle(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	return (sorted[n/2] + sorted[(n-1)/2]) / 2
}
