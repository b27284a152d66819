package features

import "clapladder.example/rhythm"

// walk measures one phrase in one pass over its beats. It lives on the stack: measuring a million
// phrases must not touch the heap. causes is nil unless the places are wanted too.
type walk struct {
	values Values
	causes *[]Cause

	phrase  rhythm.Phrase
	strokes []rhythm.Stroke
	beats   []int // steps, with the end of the phrase as last element
	shape   shape

	division divisionKinds
}

func (w *walk) add(f Feature, kind CauseKind, from, to int, amount float64) {
	w.values[f] += amount
	if w.causes != nil && amount != 0 {
		*w.causes = append(*w.causes, Cause{f, kind, from, to, amount})
	}
}

func (w *walk) run(p rhythm.Phrase) {
	w.phrase, w.strokes, w.beats = p, p.Strokes(), p.BeatSteps()
	if len(w.strokes) == 0 {
		return
	}
	w.shape = shapeOf(p.Meter())
	lastStroke := w.strokes[len(w.strokes)-1].Step
	next := 0 // first stroke not yet passed
	for i := range len(w.beats) - 1 {
		start, end := w.beats[i], w.beats[i+1]
		if start > lastStroke {
			w.tail(start)
			break
		}
		first := next
		for next < len(w.strokes) && w.strokes[next].Step < end {
			next++
		}
		w.beat(i, first, next)
	}
	w.span()
	w.runs()
	w.divisions()
	w.pace()
	w.metre()
	w.sounds()
	w.limit(Division, mostDivision)
	w.limit(Pace, mostPace)
}

// beat adds what beat i holds: strokes first up to next.
func (w *walk) beat(i, first, next int) {
	inBar := i % w.shape.beats
	w.silence(i, inBar, first, next)
	w.division.beat(w, i, inBar, first, next)
	for k := first; k < next; k++ {
		step, until := w.strokes[k].Step, w.phrase.Steps()
		if k+1 < len(w.strokes) {
			until = w.strokes[k+1].Step
		}
		w.syncopation(i, inBar, step, until)
		w.offBeat(i, step, until)
		if k > 0 && k+1 < len(w.strokes) {
			before := w.strokes[k-1].Step
			w.add(Unevenness, UnevenInterval, before, until, uneven(step-before, until-step))
		}
	}
}

// limit brings a feature, and with it the share of each of its causes, under an upper end: little
// changes below half of it, and nothing goes beyond.
func (w *walk) limit(f Feature, most float64) {
	value := w.values[f]
	if value == 0 {
		return
	}
	w.values[f] = saturated(value, most)
	if w.causes == nil {
		return
	}
	for i := range *w.causes {
		if c := &(*w.causes)[i]; c.Feature == f {
			c.Amount *= w.values[f] / value
		}
	}
}
