package rhythm

import (
	"fmt"
	"slices"
)

// WithTempo is the same phrase at another tempo in beats a minute. A tempo outside 20 to 400 is
// brought to the nearer end.
func (p Phrase) WithTempo(tempo float64) Phrase {
	if !(tempo > MinTempo) { // also NaN
		tempo = MinTempo
	}
	p.tempo = min(tempo, MaxTempo)
	return p
}

// Slower is the phrase at a tempo lower by the given share: 0.1 is ten per cent slower.
func (p Phrase) Slower(share float64) Phrase { return p.WithTempo(p.tempo * (1 - share)) }

// WithStrokes is the phrase with other strokes on the same grid and bars.
// It fails as [New] does.
func (p Phrase) WithStrokes(strokes []Stroke) (Phrase, error) {
	return New(p.meter, p.tempo, p.bars, p.stepsPerQuarter, strokes)
}

// Thinner is the phrase without the strokes that lie off the beat. It fails where nothing would be
// left.
func (p Phrase) Thinner() (Phrase, error) {
	kept := slices.DeleteFunc(slices.Clone(p.strokes), func(s Stroke) bool {
		_, onBeat := slices.BinarySearch(p.beatSteps, s.Step)
		return !onBeat
	})
	return p.WithStrokes(kept)
}

// PickupSteps is the number of steps before the first strong place that the phrase leads into:
// where bar 1 begins with silent beats and the phrase has more bars, the strokes of bar 1 are a
// pickup. Otherwise 0.
func (p Phrase) PickupSteps() int {
	if p.bars < 2 || len(p.strokes) == 0 {
		return 0
	}
	first := p.strokes[0].Step
	if first < p.beatSteps[1] || first >= p.barSteps || 2*first < p.barSteps {
		return 0
	}
	return p.barSteps
}

// WithoutPickup is the phrase without the bar that holds only a pickup; the phrase itself where it
// has none.
func (p Phrase) WithoutPickup() (Phrase, error) {
	if p.PickupSteps() == 0 {
		return p, nil
	}
	return p.BarRange(1, p.bars)
}

// BarRange is the part of the phrase from bar index from up to but not including bar index to,
// counted from 0. It fails where that part is empty or has no stroke.
func (p Phrase) BarRange(from, to int) (Phrase, error) {
	if from < 0 || to > p.bars || from >= to {
		return Phrase{}, fmt.Errorf("bars %d to %d of a phrase with %d", from+1, to, p.bars)
	}
	var kept []Stroke
	for _, s := range p.strokes {
		if s.Step >= from*p.barSteps && s.Step < to*p.barSteps {
			s.Step -= from * p.barSteps
			kept = append(kept, s)
		}
	}
	return New(p.meter, p.tempo, to-from, p.stepsPerQuarter, kept)
}

// Repeat is the phrase played n times on end. It fails where that has more than 64 bars.
func (p Phrase) Repeat(n int) (Phrase, error) {
	if n < 1 || n > MaxBars {
		return Phrase{}, fmt.Errorf("a phrase can't be repeated %d times", n)
	}
	strokes := make([]Stroke, 0, n*len(p.strokes))
	for i := range n {
		for _, s := range p.strokes {
			s.Step += i * p.Steps()
			strokes = append(strokes, s)
		}
	}
	return New(p.meter, p.tempo, n*p.bars, p.stepsPerQuarter, strokes)
}
