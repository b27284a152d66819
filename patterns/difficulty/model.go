package difficulty

import (
	"math"

	"clapladder.example/patterns/internal/features"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// Model predicts how hard a phrase is to clap back: a weighted sum of its Values on the tier
// scale. One unit is one tier and one logit: a person for whom the chance to get a phrase is one
// half has odds of e against one a unit harder. Models are immutable and safe for concurrent use.
type Model struct {
	base    float64
	weights features.Values
}

// NewModel makes a model of weights in tiers per unit of each feature. The scale is fixed by plain
// beats: four of them at 96 beats a minute in 4/4 have difficulty 1.
func NewModel(weights features.Values) *Model {
	return &Model{base: 1 - weights.Dot(plainBeats), weights: weights}
}

// DefaultModel is the model that comes with the package: the mean of two small models, and the
// published priors of what no data settle. A mean of simple models keeps more of its worth on
// rhythms that nobody fitted than the best of them.
func DefaultModel() *Model { return defaultModel }

var defaultModel = NewModel(Average(weightsByMemory))

// Average makes the weights of the whole model of those of a fitted one: the mean of the fitted
// weights and of the model of distance from the beat that comes with the package, with the priors
// of the other features.
func Average(memory features.Values) features.Values {
	weights := weightsByPrior
	for i := range weights {
		weights[i] += (memory[i] + weightsByDistance[i]) / 2
	}
	return weights
}

// plainBeats fixes the scale: difficulty 1.
var plainBeats = features.Of(rhythm.MustParse("x x x x", "4/4", rhythm.DefaultTempo))

// Unlimited is the prediction before the ends of the scale cut it, for sums and differences.
func (m *Model) Unlimited(p rhythm.Phrase) float64 {
	return m.base + m.weights.Dot(features.Of(p))
}

// Difficulty is the predicted difficulty of p on the tier scale, between tierscale.Min and
// tierscale.Max. It does not allocate.
func (m *Model) Difficulty(p rhythm.Phrase) float64 { return tierscale.Clamp(m.Unlimited(p)) }

// Raised returns the model with every prediction higher by the given tiers.
func (m *Model) Raised(tiers float64) *Model {
	raised := *m
	raised.base += tiers
	return &raised
}

// SD is the standard deviation of the error of Difficulty, in logits, for a phrase that nobody has
// tried yet. It grows with the distance from plain beats, since no weight is certain, and beyond
// what the fitted data hold, up to 3: with more, a difficulty would say nothing.
func (m *Model) SD(p rhythm.Phrase) float64 {
	f, variance := features.Of(p), residualSD*residualSD
	for i := range f {
		doubt := weightSD[i] * (f[i] - plainBeats[i])
		beyond := 0.0
		if fittedMost[i] > 0 {
			beyond = beyondShare * m.weights[i] * max(0, f[i]-fittedMost[i])
		}
		variance += doubt*doubt + beyond*beyond
	}
	return min(math.Sqrt(variance), mostSD)
}

// Doubt is how far each weight may be off: its standard deviation, in tiers per unit, for this
// leader's groups. residual is that of what no weight explains, for one phrase, in logits.
func (m *Model) Doubt() (weights features.Values, residual float64) { return weightSD, residualSD }

// Weights are the tiers that one unit of each feature adds.
func (m *Model) Weights() features.Values { return m.weights }
