package difficulty

import (
	"fmt"
	"slices"

	"clapladder.example/rhythm"
)

// harderVariants are the phrases after one change that may make p harder.
func harderVariants(p rhythm.Phrase) []variant {
	e := edit(p)
	return e.try(
		[]func(){e.longer},
		[]func(beat int){e.addOffBeat, e.dot, e.quicken},
		[]func(stroke int){e.dropBeat, e.anticipate, e.accent},
	)
}

// addOffBeat puts a stroke inside a beat that has none inside.
func (e *editor) addOffBeat(i int) {
	first, next := e.inBeat(i)
	if next-first > 1 || (next-first == 1 && e.strokes[first].Step != e.beats[i]) {
		return
	}
	step := e.part(i, 1, 2)
	if e.ternary(i) {
		step = e.part(i, 2, 3)
	}
	e.add(e.with(rhythm.Stroke{Step: step}), "add a clap on "+e.spot(step))
}

// dropBeat leaves a beat silent, but not the first.
func (e *editor) dropBeat(k int) {
	if step := e.strokes[k].Step; step > 0 && e.onBeat(step) && k+1 < len(e.strokes) {
		e.add(e.without(k), fmt.Sprintf("leave out the %s on %s", e.strokes[k].Sound, e.spot(step)))
	}
}

// anticipate plays a stroke half a beat ahead of its beat, where there is room.
func (e *editor) anticipate(k int) {
	step := e.strokes[k].Step
	i, onBeat := slices.BinarySearch(e.beats, step)
	if !onBeat || i == 0 {
		return
	}
	early := e.part(i-1, 1, 2)
	if e.ternary(i - 1) {
		early = e.part(i-1, 2, 3)
	}
	if k == 0 || e.strokes[k-1].Step < early {
		e.add(e.moved(k, early), e.moving(k, early))
	}
}

// dot makes an even pair three quarters and one quarter of the beat long.
func (e *editor) dot(i int) {
	first, _ := e.inBeat(i)
	if e.pair(i) && e.strokes[first+1].Step == e.part(i, 1, 2) {
		e.add(e.moved(first+1, e.part(i, 3, 4)), "make the two strokes of "+e.beat(e.beats[i])+" long-short")
	}
}

// quicken adds a stroke to an even pair.
func (e *editor) quicken(i int) {
	first, next := e.inBeat(i)
	if next-first != 2 || e.strokes[first].Step != e.beats[i] {
		return
	}
	if e.ternary(i) {
		if e.strokes[first+1].Step == e.part(i, 2, 3) {
			e.add(e.with(rhythm.Stroke{Step: e.part(i, 1, 3)}), "three even strokes on "+e.beat(e.beats[i]))
		}
		return
	}
	if e.strokes[first+1].Step == e.part(i, 1, 2) {
		for _, quarter := range []int{1, 3} {
			step := e.part(i, quarter, 4)
			e.add(e.with(rhythm.Stroke{Step: step}), "add a clap on "+e.spot(step))
		}
	}
}

// accent stresses a stroke inside a beat.
func (e *editor) accent(k int) {
	if e.strokes[k].Accent || e.onBeat(e.strokes[k].Step) {
		return
	}
	strokes := slices.Clone(e.strokes)
	strokes[k].Accent = true
	e.add(strokes, "accent "+e.spot(e.strokes[k].Step))
}

// longer plays the phrase twice, as it is and with another end: only the beats of the last bar.
func (e *editor) longer() {
	twice, err := e.p.Repeat(2)
	e.addPhrase(twice, err, "twice on end")
	if err != nil {
		return
	}
	lastBar := twice.Steps() - twice.BarSteps()
	strokes := slices.DeleteFunc(slices.Clone(twice.Strokes()), func(s rhythm.Stroke) bool {
		return s.Step >= lastBar
	})
	for _, beat := range twice.BeatSteps() {
		if beat >= lastBar && beat < twice.Steps() {
			strokes = append(strokes, rhythm.Stroke{Step: beat})
		}
	}
	plainEnd, err := rhythm.New(twice.Meter(), twice.Tempo(), twice.Bars(), twice.StepsPerQuarter(), strokes)
	e.addPhrase(plainEnd, err, "twice on end, the last bar plain beats")
}
