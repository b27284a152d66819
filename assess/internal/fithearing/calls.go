package main

import (
	"fmt"
	"io"
	"math"

	"clapladder.example/assess/ability"
)

// callsOf are the difficulties of the phrases that were called, as stated.
func (w *Warmup) callsOf() []float64 {
	calls := make([]float64, len(w.Answers))
	for i, a := range w.Answers {
		calls[i] = a.Difficulty
	}
	return calls
}

// fitChosen fits by how much less than their standard deviation the level lies above the mean of what
// a leader calls, never below it, and says how far that errs, root mean square. Both are in tiers.
func fitChosen(warmups []Warmup) (short, sd float64) {
	sd = math.Inf(1)
	for x := 0.0; x < 2; x += 0.01 {
		off := levelError(warmups, func(calls []float64) float64 {
			mean, spread := meanAndSpread(calls)
			return mean + max(spread-x, 0)
		})
		if off < sd {
			short, sd = x, off
		}
	}
	return short, sd
}

// chosenInUse is how far what package ability makes of the calls errs, where nothing else is believed.
func chosenInUse(warmups []Warmup) float64 {
	return levelError(warmups, func(calls []float64) float64 {
		return ability.Prior{LevelSD: 1e6}.AfterCalls(calls).Level
	})
}

// levelError is the root mean square error of the level that calls tell.
func levelError(warmups []Warmup, told func(calls []float64) float64) float64 {
	squares, n := 0.0, 0.0
	for _, w := range warmups {
		if len(w.Answers) == 0 {
			continue
		}
		off := told(w.callsOf()) - w.Level
		squares, n = squares+off*off, n+1
	}
	return math.Sqrt(squares / n)
}

func meanAndSpread(x []float64) (mean, spread float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		spread += (v - mean) * (v - mean) / float64(len(x))
	}
	return mean, math.Sqrt(spread)
}

// mostWorse is by how many tiers the level may lie further off by the number in use than by the one
// fitted.
const mostWorse = 0.02

// judgeChosen prints what the calls of warm-ups tell of the level, and fails where what is in use
// errs more.
func judgeChosen(out io.Writer, warmups []Warmup) error {
	short, sd := fitChosen(warmups)
	used := chosenInUse(warmups)
	fmt.Fprintf(out, "\nThe level lies above the mean of the calls by their standard deviation less %.2f "+
		"tiers,\nwith an error of %.2f; by the number in use with %.2f\n", short, sd, used)
	if used > sd+mostWorse {
		return fmt.Errorf("chosenShort: what is in use errs by %.2f tiers, what was fitted by %.2f", used, sd)
	}
	return nil
}
