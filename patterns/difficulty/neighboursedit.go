package difficulty

import (
	"fmt"
	"slices"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// editor makes variants of one phrase on a grid fine enough for every change.
type editor struct {
	p        rhythm.Phrase
	grid     int             // steps a quarter
	factor   int             // steps of the editor in one of the phrase
	strokes  []rhythm.Stroke // on the editor's grid
	beats    []int           // with the end as last element
	words    wording
	variants []variant
}

// gridFactor makes halves, thirds, quarters and sixths of a beat whole steps.
const gridFactor = 12

func edit(p rhythm.Phrase) *editor {
	e := &editor{p: p, factor: gridFactor, grid: gridFactor * p.StepsPerQuarter(), words: wording{p}}
	for _, s := range p.Strokes() {
		s.Step *= gridFactor
		e.strokes = append(e.strokes, s)
	}
	for _, beat := range p.BeatSteps() {
		e.beats = append(e.beats, beat*gridFactor)
	}
	return e
}

// try makes the changes of the whole phrase, then those of every beat and of every stroke, until
// there are enough variants: phrases of many bars have thousands of places.
func (e *editor) try(whole []func(), ofBeat, ofStroke []func(int)) []variant {
	for _, change := range whole {
		change()
	}
	for i := 0; i < len(e.beats)-1 && !e.full(); i++ {
		for _, change := range ofBeat {
			change(i)
		}
	}
	for k := 0; k < len(e.strokes) && !e.full(); k++ {
		for _, change := range ofStroke {
			change(k)
		}
	}
	return e.variants
}

// full reports whether enough variants were made.
func (e *editor) full() bool { return len(e.variants) == neighbourMost }

// add keeps a variant if it is a phrase; a change can ask for more boxes in a beat than the
// notation has.
func (e *editor) add(strokes []rhythm.Stroke, change string) {
	if e.full() {
		return
	}
	if p, err := rhythm.New(e.p.Meter(), e.p.Tempo(), e.p.Bars(), e.grid, strokes); err == nil {
		e.variants = append(e.variants, variant{p, change})
	}
}

func (e *editor) addPhrase(p rhythm.Phrase, err error, change string) {
	if err == nil && !e.full() {
		e.variants = append(e.variants, variant{p, change})
	}
}

// inBeat returns the strokes of beat i: e.strokes[first:next].
func (e *editor) inBeat(i int) (first, next int) {
	at := func(step int) int {
		k, _ := slices.BinarySearchFunc(e.strokes, step, func(s rhythm.Stroke, step int) int {
			return s.Step - step
		})
		return k
	}
	return at(e.beats[i]), at(e.beats[i+1])
}

func (e *editor) without(k int) []rhythm.Stroke {
	return slices.Delete(slices.Clone(e.strokes), k, k+1)
}

func (e *editor) with(s rhythm.Stroke) []rhythm.Stroke { return append(slices.Clone(e.strokes), s) }

func (e *editor) moved(k, to int) []rhythm.Stroke {
	strokes := slices.Clone(e.strokes)
	strokes[k].Step = to
	return strokes
}

// replaced has other strokes in beat i, at the given steps, with the sound of the beat's first
// stroke.
func (e *editor) replaced(i int, steps ...int) []rhythm.Stroke {
	first, next := e.inBeat(i)
	strokes := slices.Delete(slices.Clone(e.strokes), first, next)
	for _, step := range steps {
		strokes = append(strokes, rhythm.Stroke{Step: step, Sound: e.strokes[first].Sound})
	}
	return strokes
}

// onBeat reports whether a step is the start of a beat.
func (e *editor) onBeat(step int) bool {
	_, found := slices.BinarySearch(e.beats, step)
	return found
}

// moving is the change of moving stroke k to a step, in words.
func (e *editor) moving(k, to int) string {
	from := e.strokes[k]
	return fmt.Sprintf("move the %s from %s to %s", from.Sound, e.spot(from.Step), e.spot(to))
}

// pair reports whether beat i, divided by two, holds two strokes, the first of them on it.
func (e *editor) pair(i int) bool {
	first, next := e.inBeat(i)
	return next-first == 2 && e.strokes[first].Step == e.beats[i] && !e.ternary(i)
}

// sounded reports whether there is a stroke at step.
func (e *editor) sounded(step int) bool {
	return slices.ContainsFunc(e.strokes, func(s rhythm.Stroke) bool { return s.Step == step })
}

// spot names a step of the editor.
func (e *editor) spot(step int) string {
	return spoken.Place(e.words.p, float64(step)/float64(e.factor))
}

// part is a step inside beat i, the given part of the beat from its start.
func (e *editor) part(i, numerator, denominator int) int {
	return e.beats[i] + (e.beats[i+1]-e.beats[i])*numerator/denominator
}

// ternary reports whether beat i divides by three.
func (e *editor) ternary(i int) bool {
	return e.p.Meter().BeatUnits(i%e.p.Meter().Beats()) == 3
}

// beat names a whole beat by the step at which it begins.
func (e *editor) beat(step int) string {
	return spoken.Beat(e.words.p, float64(step)/float64(e.factor))
}
