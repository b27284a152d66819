package rounds

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/robust"
)

// habit is when answers begin after their calls in this recording: most leaders always let the
// group in on the next bar, always after a bar of silence, or always after the same breath. Most
// calls are answered, or none is.
type habit struct {
	unit   unit
	delay  float64 // units after the end of the call
	sd     float64 // seconds
	weight float64 // 0 to 1: how far it is kept; 0 as long as nothing is known

	// answers is what an answer earns, and a call without one costs, because calls are answered
	// here; negative where they are not.
	answers float64
}

// unit is what a leader's breath is measured in.
type unit int

const (
	inSeconds unit = iota
	inBeats
	inBars
)

// length is a unit of a proposal's call in seconds.
func (u unit) length(p proposal) float64 {
	switch u {
	case inBeats:
		return p.call.BeatSeconds(p.phrase)
	case inBars:
		return p.call.StepSeconds * float64(p.phrase.Steps()) / float64(p.phrase.Bars())
	}
	return 1
}

// learnHabit looks at the answers of the chosen rounds and takes the unit in which they stray
// least.
func learnHabit(chosen []proposal) habit {
	answered := slices.DeleteFunc(slices.Clone(chosen), func(p proposal) bool {
		return p.answer == nil || p.template < 0
	})
	good := 0.0
	for _, p := range answered {
		if p.answer.Match > poorMatch {
			good++
		}
	}
	share := (good + 1) / (float64(len(chosen)) + 2)
	rule := habit{answers: habitAnswers * (2*share - 1)}
	if len(answered) < habitLeast {
		return rule
	}
	best := habit{sd: math.Inf(1)}
	for _, u := range []unit{inBars, inBeats, inSeconds} {
		if h := habitIn(u, answered); h.sd < best.sd || h.sd == best.sd && h.weight > best.weight {
			best = h
		}
	}
	if best.sd > habitLoose {
		return rule
	}
	best.answers = rule.answers
	return best
}

// habitIn is the habit of the answered proposals in one unit.
func habitIn(u unit, answered []proposal) habit {
	delays, off := make([]float64, len(answered)), make([]float64, len(answered))
	for i, p := range answered {
		delays[i] = (p.answer.Map.Origin - p.call.At(float64(p.phrase.Steps()))) / u.length(p)
	}
	h := habit{unit: u, delay: robust.Median(delays)}
	for i, p := range answered {
		off[i] = math.Abs(delays[i]-h.delay) * u.length(p)
	}
	h.sd = max(habitSD, 1.4826*robust.Median(off)) // of a normal law's median deviation
	kept := 0.0
	for _, d := range off {
		if d < 2*h.sd {
			kept++
		}
	}
	h.weight = kept / (float64(len(delays)) + habitDoubt)
	return h
}

// costs is what an answer after the given delay in seconds costs, where it would cost otherwise
// without a habit; length is that of the habit's unit in seconds.
func (h habit) costs(delay, length, otherwise float64) float64 {
	if h.weight == 0 {
		return otherwise
	}
	off := (delay - h.delay*length) / h.sd
	return h.weight*min(off*off/2, habitBreaks) + (1-h.weight)*otherwise
}
