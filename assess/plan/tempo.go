package plan

import (
	"fmt"

	"clapladder.example/patterns"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// atTempo re-grades a bank for one pulse that all calls keep, in beats a minute
// (quarters a minute where beats differ in length), 20 to 400. The model says what
// the change of tempo adds or takes off; placings by the leader move along. A nil
// model means difficulty.DefaultModel. The slice is not changed.
func atTempo(m *difficulty.Model, bank []patterns.Graded, tempo float64) ([]patterns.Graded, error) {
	if !(tempo >= rhythm.MinTempo && tempo <= rhythm.MaxTempo) {
		return nil, fmt.Errorf("a tempo of %g beats a minute can't be clapped; give a number "+
			"from %g to %g", tempo, rhythm.MinTempo, rhythm.MaxTempo)
	}
	if m == nil {
		m = difficulty.DefaultModel()
	}
	out := make([]patterns.Graded, len(bank))
	for i, g := range bank {
		if g.Phrase.Tempo() != tempo {
			moved := g.Phrase.WithTempo(tempo)
			change := m.Difficulty(moved) - m.Difficulty(g.Phrase)
			g.Phrase = moved
			g.Predicted = tierscale.Clamp(g.Predicted + change)
			g.Difficulty = tierscale.Clamp(g.Difficulty + change)
			g.Tier = tierscale.Tier(g.Difficulty)
		}
		out[i] = g
	}
	return out, nil
}
