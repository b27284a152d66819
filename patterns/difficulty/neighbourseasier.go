package difficulty

import (
	"fmt"
	"slices"

	"clapladder.example/patterns/internal/features"
	"clapladder.example/rhythm"
)

// easierVariants are the phrases after one change that may make p easier.
func easierVariants(p rhythm.Phrase) []variant {
	e := edit(p)
	return e.try(
		[]func(){e.plainSounds, e.comfortableTempo, e.firstHalf, e.stopEarlier},
		[]func(beat int){e.fillBeat, e.evenOut, e.thin},
		[]func(stroke int){e.dropOffBeat, e.ontoBeat},
	)
}

// dropOffBeat leaves out a stroke inside a beat.
func (e *editor) dropOffBeat(k int) {
	if step := e.strokes[k].Step; !e.onBeat(step) {
		e.add(e.without(k), fmt.Sprintf("leave out the %s on %s", e.strokes[k].Sound, e.spot(step)))
	}
}

// fillBeat sounds a silent beat before the end.
func (e *editor) fillBeat(i int) {
	if last := e.strokes[len(e.strokes)-1]; e.beats[i] < last.Step && !e.sounded(e.beats[i]) {
		e.add(e.with(rhythm.Stroke{Step: e.beats[i]}), "clap on "+e.spot(e.beats[i])+" too")
	}
}

// ontoBeat moves a stroke that anticipates a silent beat onto it.
func (e *editor) ontoBeat(k int) {
	step := e.strokes[k].Step
	if e.onBeat(step) {
		return
	}
	i, _ := slices.BinarySearch(e.beats, step) // the next beat
	next := e.beats[i]
	if i == len(e.beats)-1 || e.sounded(next) || (k+1 < len(e.strokes) && e.strokes[k+1].Step < next) {
		return
	}
	e.add(e.moved(k, next), e.moving(k, next))
}

// evenOut straightens a dotted pair or another uneven pair inside a beat.
func (e *editor) evenOut(i int) {
	first, _ := e.inBeat(i)
	half := e.part(i, 1, 2)
	if !e.pair(i) || e.strokes[first+1].Step == half {
		return
	}
	e.add(e.moved(first+1, half), "make the two strokes of "+e.beat(e.beats[i])+" even")
}

// thin makes a busy beat an even pair, or in beats of three plain thirds.
func (e *editor) thin(i int) {
	first, next := e.inBeat(i)
	if next-first < 3 {
		return
	}
	if e.ternary(i) {
		if next-first > 3 {
			e.add(e.replaced(i, e.beats[i], e.part(i, 1, 3), e.part(i, 2, 3)),
				"three even strokes on "+e.beat(e.beats[i]))
		}
		e.add(e.replaced(i, e.beats[i], e.part(i, 2, 3)), "long-short on "+e.beat(e.beats[i]))
	} else {
		e.add(e.replaced(i, e.beats[i], e.part(i, 1, 2)), "two even strokes on "+e.beat(e.beats[i]))
	}
	e.add(e.replaced(i, e.beats[i]), "one stroke on "+e.spot(e.beats[i]))
}

// firstHalf keeps the first half only, or plays it twice.
func (e *editor) firstHalf() {
	bars := e.p.Bars()
	if bars%2 == 0 {
		half, err := e.p.BarRange(0, bars/2)
		e.addPhrase(half, err, "only the first half")
		if err == nil {
			twice, err := half.Repeat(2)
			e.addPhrase(twice, err, "the first half twice")
		}
		return
	}
	beats := e.p.Meter().Beats()
	if e.p.Meter().Kind() == rhythm.Additive || beats%2 != 0 || beats < 4 || bars > 1 {
		return
	}
	middle := e.beats[beats/2]
	first := slices.DeleteFunc(slices.Clone(e.strokes),
		func(s rhythm.Stroke) bool { return s.Step >= middle })
	twice := slices.Clone(first)
	for _, s := range first {
		s.Step += middle
		twice = append(twice, s)
	}
	e.add(twice, "the first half twice")
	e.add(append(first, rhythm.Stroke{Step: middle}),
		"only the first half, with one stroke on "+e.spot(middle))
}

// stopEarlier ends on one of the three beats before the last stroke, or a bar earlier.
func (e *editor) stopEarlier() {
	if bars := e.p.Bars(); bars > 1 {
		shorter, err := e.p.BarRange(0, bars-1)
		e.addPhrase(shorter, err, "without the last bar")
	}
	last, _ := slices.BinarySearch(e.beats, e.strokes[len(e.strokes)-1].Step) // on it or after
	for i := last - 1; i >= max(1, last-3); i-- {
		if !e.sounded(e.beats[i]) {
			continue
		}
		kept := slices.DeleteFunc(slices.Clone(e.strokes), func(s rhythm.Stroke) bool {
			return s.Step > e.beats[i]
		})
		e.add(kept, "stop on "+e.spot(e.beats[i]))
	}
}

// plainSounds takes other body sounds and accents away.
func (e *editor) plainSounds() {
	plain, one := slices.Clone(e.strokes), slices.Clone(e.strokes)
	for k := range plain {
		plain[k].Accent = false
		one[k].Sound, one[k].Accent = rhythm.Clap, false
	}
	if !slices.Equal(plain, e.strokes) {
		e.add(plain, "no accents")
	}
	if !slices.Equal(one, plain) {
		e.add(one, "clap it all")
	}
}

// The tempo that a leader may fall back to, in beats a minute, and by how much: 10 to 15 per cent
// slower, but not below 60 (common practice, no source).
const (
	slowestFallback = 60.0
	slowerBy        = 0.15
)

// comfortableTempo slows a quick phrase down, or brings a slow one up.
func (e *editor) comfortableTempo() {
	tempo := e.p.Tempo()
	if slower := e.p.WithTempo(tempo * (1 - slowerBy)); slower.Tempo() >= slowestFallback {
		e.addPhrase(slower, nil, fmt.Sprintf("at %.0f beats a minute", slower.Tempo()))
	}
	if slowest := 60 / features.SlowestBeat; tempo < slowest {
		e.addPhrase(e.p.WithTempo(slowest), nil, fmt.Sprintf("at %.0f beats a minute", slowest))
	}
}
