package patterns

import (
	"math"

	"clapladder.example/rhythm"
)

// Model predicts how hard a phrase is to clap back: a weighted sum of its [Features] on the tier scale. One unit is one
// tier and one logit: a person for whom the chance to get a phrase is one half has odds of e against one a unit harder.
// Models are immutable and safe for concurrent use.
type Model struct {
	base    float64
	weights Features
	sd      float64
}

// Limits of the tier scale.
const (
	MinDifficulty = 0.1
	MaxDifficulty = 20.5
)

// NewModel makes a model of weights in tiers per unit of each feature. sd is its error of prediction in logits. The scale is
// fixed by plain beats: four of them at 96 beats a minute in 4/4 have difficulty 1.
func NewModel(weights Features, sd float64) *Model {
	m := &Model{weights: weights, sd: sd}
	m.base = 1 - m.sum(rhythm.MustParse("x x x x", "4/4", 96))
	return m
}

// DefaultModel is the model that comes with the package.
func DefaultModel() *Model { return defaultModel }

var defaultModel = NewModel(Features{
	Syncopation: 0.35,
	SilentBeats: 0.5,
	Variety:     0.15,
	Length:      0.2,
	Division:    0.9,
	Pace:        0.8,
	Metre:       1,
	Sounds:      0.7,
}, 0.6)

func (m *Model) sum(p rhythm.Phrase) float64 {
	f := FeaturesOf(p)
	sum := 0.0
	for i, weight := range m.weights {
		sum += weight * f[i]
	}
	return sum
}

// Difficulty is the predicted difficulty of p on the tier scale, between MinDifficulty and MaxDifficulty. It does not
// allocate.
func (m *Model) Difficulty(p rhythm.Phrase) float64 {
	return min(max(m.base+m.sum(p), MinDifficulty), MaxDifficulty)
}

// SD is the standard deviation of the error of Difficulty for a phrase nobody has tried yet, in logits.
func (m *Model) SD() float64 { return m.sd }

// Weights are the tiers that one unit of each feature adds.
func (m *Model) Weights() Features { return m.weights }

// TierOf is the tier of a difficulty: rounded, at least 1.
func TierOf(difficulty float64) int { return max(1, int(math.Round(difficulty))) }
