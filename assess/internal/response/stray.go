package response

import (
	"math"
	"slices"

	"clapladder.example/rhythm"
)

// People slip to other places than halves and thirds of the beat too. Where clapping is left that
// no place explains, a place is added. Set on synthetic warm-ups of the tuning half.
const (
	strayMost  = 8     // places added to one answer
	strayStep  = 0.01  // seconds between the times tried
	strayApart = 0.085 // seconds from any other place: closer they can't be told apart
	strayLeast = 0.09  // energy left over, in parts of what explains the rest there
	// seconds from a note: closer the claps are late or early for it, two standard deviations of a
	// group and the error of its lag
	strayNote   = 0.1
	straySpread = 0.02 // seconds: the claps of so few hands that they lie closer stray from any model
)

// addStrays adds places where the fit leaves energy, most first, and fits anew.
func (f *fitter) addStrays(c candidate) {
	if spreads[c.spread] < straySpread {
		return
	}
	for range strayMost {
		at, ok := f.leftOver(c)
		if !ok {
			return
		}
		f.start = slices.Insert(f.start, len(f.places), f.typical())
		f.places = append(f.places, slot{step: (at - c.origin) / c.step, note: -1})
		f.score(c, finalRounds)
	}
}

// lateFor is the note that place i holds late or early claps of, -1 where it is none. Only an added
// place can be.
func (f *fitter) lateFor(c candidate, i int) int {
	best, near := -1, strayNote
	if i < f.usual {
		return best
	}
	for _, p := range f.places {
		if d := math.Abs(p.step-f.places[i].step) * c.step; p.note >= 0 && d < near {
			best, near = p.note, d
		}
	}
	return best
}

// leftOver is the time at which one more burst would raise the likelihood fastest.
func (f *fitter) leftOver(c candidate) (at float64, ok bool) {
	m, shape := f.mixture, f.shapes.group[c.spread]
	times := rhythm.TimeMap{Origin: c.origin, StepSeconds: c.step}
	from, to := shape.Reach()
	most := strayLeast
	end := min(times.At(float64(f.Phrase.Steps())), f.Until-0.15)
	for i, e := range m.energy {
		m.ratio[i] = e/m.model[i] - 1
	}
	for t := times.At(f.places[0].step); t < end; t += strayStep {
		if f.near(times, t) {
			continue
		}
		gain, total := 0.0, 0.0
		first, last := max(0, int((t+from-m.start)/frameSeconds)),
			min(len(m.energy)-1, int((t+to-m.start)/frameSeconds))
		for i := first; i <= last; i++ {
			v := shape.At(m.start + (float64(i)+0.5)*frameSeconds - t)
			gain += v * m.ratio[i]
			total += v
		}
		if total > 0 && gain/total > most {
			most, at, ok = gain/total, t, true
		}
	}
	return at, ok
}

func (f *fitter) near(times rhythm.TimeMap, t float64) bool {
	for _, p := range f.places {
		if math.Abs(times.At(p.step)-t) < strayApart {
			return true
		}
	}
	return slices.ContainsFunc(f.Leader, func(l float64) bool { return math.Abs(l-t) < strayApart })
}
