package patterns

import "clapladder.example/rhythm"

// Explanation says why a phrase is as hard as it is.
type Explanation struct {
	Difficulty    float64
	Contributions []Contribution // hardest first; only features that add something
}

// Contribution is what one feature adds to a difficulty.
type Contribution struct {
	Feature Feature
	Tiers   float64 // tiers added
}

// Explain says which features make p hard.
func (m *Model) Explain(p rhythm.Phrase) Explanation {
	e := Explanation{Difficulty: m.Difficulty(p)}
	f := FeaturesOf(p)
	for i, weight := range m.weights {
		if tiers := weight * f[i]; tiers > 0 {
			e.Contributions = append(e.Contributions, Contribution{Feature(i), tiers})
		}
	}
	return e
}
