package features

import "clapladder.example/rhythm"

// shape is what the walk needs of a metre, worked out once a phrase.
type shape struct {
	kind    rhythm.Kind
	beats   int    // in a bar
	strong  uint32 // bit i: beat i is strong
	ternary uint32 // bit i: beat i is three units
	weak    int    // weight of a beat that is not strong
}

func shapeOf(m rhythm.Meter) shape {
	s := shape{kind: m.Kind(), beats: m.Beats(), weak: -1}
	for i := range s.beats {
		if m.StrongBeat(i) {
			s.strong |= 1 << i
		}
		if m.BeatUnits(i) == 3 {
			s.ternary |= 1 << i
		}
	}
	if s.strong > 1 {
		s.weak = -2
	}
	return s
}

// beatWeight and insideWeight are the metrical weights of Longuet-Higgins and Lee (1984, Music
// Perception 1:424-441): 0 for the first beat and one less for each level of splitting below. Beats
// that are not strong lie one level below the strong ones, places that divide a beat in its natural
// way one below those, and all finer ones follow.
func (s *shape) beatWeight(inBar int) int {
	switch {
	case inBar == 0:
		return 0
	case s.strong>>inBar&1 != 0:
		return -1
	}
	return s.weak
}

// insideWeight is the weight of a place inside a beat, 0 < offset < length: halves and thirds
// alike, then quarters and sixths, then the rest.
func (s *shape) insideWeight(offset, length int) int {
	switch {
	case offset*2%length == 0 || offset*3%length == 0:
		return s.weak - 1
	case offset*4%length == 0 || offset*6%length == 0:
		return s.weak - 2
	}
	return s.weak - 3
}

// syncopation adds the strength of the stroke at step, in beat i, against the strongest place up to
// the next beat that passes before the next stroke (until): the difference of their weights where
// that place is stronger. This is the measure of Longuet-Higgins and Lee with strict comparison,
// but it looks no further than the next beat: after that, the stroke is the end of a figure rather
// than an anticipation (Gomez et al. 2005 count such notes half). The phrase has an end and does
// not wrap around.
func (w *walk) syncopation(i, inBar, step, until int) {
	start, end := w.beats[i], w.beats[i+1]
	own := w.shape.beatWeight(inBar)
	best, at := own, 0
	if offset, length := step-start, end-start; offset > 0 {
		own = w.shape.insideWeight(offset, length)
		best = own
		// Inside the beat only places of the stroke's own division count: a triplet does not pass
		// the half.
		parts := 2
		if offset*8%length != 0 {
			parts = 3
		}
		for level := w.shape.weak - 1; level > own && best == own; level-- {
			place := (offset*parts/length + 1) * length // times parts
			if place%parts == 0 && start+place/parts < min(until, end) {
				best, at = level, start+place/parts
			}
			parts *= 2
		}
	}
	if i+2 < len(w.beats) && end < until {
		if weight := w.shape.beatWeight((inBar + 1) % w.shape.beats); weight > best {
			best, at = weight, end
		}
	}
	if best > own {
		w.add(Syncopation, HeldOver, step, at+1, float64(best-own))
	}
}

// offBeat adds the stroke at step, in beat i, by the weighted note-to-beat distance of Gómez,
// Melvin, Rappaport and Toussaint (2005, BRIDGES): the length of the beat over the distance to the
// nearer beat, twice that where the stroke lasts (until the next one) over the next beat but not to
// the one after. Summed and divided by the number of strokes; the phrase has an end.
func (w *walk) offBeat(i, step, until int) {
	start, end := w.beats[i], w.beats[i+1]
	if step == start {
		return
	}
	after := end + w.beats[1]
	if i+2 < len(w.beats) {
		after = w.beats[i+2]
	}
	distance := float64(end-start) / float64(min(step-start, end-step))
	if until > end && until < after {
		distance *= 2
	}
	w.add(OffBeats, OffBeatStroke, step, step+1, distance/float64(len(w.strokes)))
}

// Costs of a metre; the order is that of the published teaching sequences: equal beats divided by
// two, by three, bars of five or seven beats, unequal beats (common to the board syllabuses and to
// Gordon's sequence).
const (
	compoundCost = 1.3
	oddCost      = 2.5
	additiveCost = 4.0
)

func (w *walk) metre() {
	all := w.phrase.Steps()
	switch {
	case w.shape.kind == rhythm.Additive:
		w.add(Division, AdditiveMetre, 0, all, additiveCost)
	case w.shape.beats >= 5 && w.shape.beats%2 == 1 && w.shape.beats%3 != 0:
		w.add(Division, OddMetre, 0, all, oddCost)
	case w.shape.kind == rhythm.Compound && w.divided():
		w.add(Division, CompoundMetre, 0, all, compoundCost)
	}
}

// divided reports whether any stroke lies inside a beat: without one, nobody can hear how the beats
// divide.
func (w *walk) divided() bool {
	k := 0
	for _, s := range w.strokes {
		for w.beats[k] < s.Step {
			k++
		}
		if w.beats[k] != s.Step {
			return true
		}
	}
	return false
}
