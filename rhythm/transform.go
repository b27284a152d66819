package rhythm

import "fmt"

// WithTempo is the same phrase at another tempo in beats a minute. A tempo outside 20 to 400 is
// brought to the nearer end.
func (p Phrase) WithTempo(tempo float64) Phrase {
	if !(tempo > MinTempo) { // also NaN
		tempo = MinTempo
	}
	p.tempo = min(tempo, MaxTempo)
	return p
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
