package difficulty

import (
	"clapladder.example/patterns/tierscale"
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

// NewModel makes a model of weights in tiers per unit of each feature. sd is its error of prediction in logits. The scale is
// fixed by plain beats: four of them at 96 beats a minute in 4/4 have difficulty 1.
func NewModel(weights Features, sd float64) *Model {
	m := &Model{weights: weights, sd: sd}
	m.base = 1 - weights.dot(plainBeats)
	return m
}

// DefaultModel is the model that comes with the package. See defaultWeights for where it comes from.
func DefaultModel() *Model { return defaultModel }

// defaultWeights were fitted by
//
//	go run ./cmd/fitdifficulty -results FILE
//
// over, together: how 20 rhythms of the entrance examination of a conservatory in 2015 were clapped back, 609 candidates in all
// (aggregated from the annotations of the MAST rhythm data: Falcao et al. 2019, ISMIR; Koekturk-Guezel et al. 2023, Digital
// Signal Processing 133; not part of this project); the conditions of Grahn and Brett (2007); the ratings of the 35 patterns
// of Povel and Essens (1985) by the listeners of Shmulevich and Povel (2000); and the order of published teaching sequences. Priors
// and their reasons are in package fit. Which formulas the features have was decided with these data in view; the priors
// for Variety and Length also rest on correlations that were published over the examinations of both 2015 and 2016.
var defaultWeights = Features{
	Syncopation: 0.207,
	SilentBeats: 0.222,
	Variety:     0.114,
	Length:      0.475,
	Unevenness:  0.066,
	Division:    1.159,
	Pace:        0.804,
	Sounds:      0.700,
}

// defaultError is what is left between the pass rates of the 20 rhythms, as logits, and their predictions by fits without
// them, chance in the number of candidates taken off: 0.88. The candidates were more able than most groups, and the rhythms
// two to four bars long; for one bar the error is likely smaller, but nobody has measured it.
const defaultError = 0.9

// plainBeats fixes the scale: difficulty 1.
var plainBeats = FeaturesOf(rhythm.MustParse("x x x x", "4/4", rhythm.DefaultTempo))

var defaultModel = NewModel(defaultWeights, defaultError)

// Unlimited is the prediction before the ends of the scale cut it, for sums and differences.
func (m *Model) Unlimited(p rhythm.Phrase) float64 {
	return m.base + m.weights.dot(FeaturesOf(p))
}

func (f Features) dot(g Features) float64 {
	sum := 0.0
	for i := range f {
		sum += f[i] * g[i]
	}
	return sum
}

// Difficulty is the predicted difficulty of p on the tier scale, between tierscale.Min and tierscale.Max. It does not
// allocate.
func (m *Model) Difficulty(p rhythm.Phrase) float64 { return tierscale.Clamp(m.Unlimited(p)) }

// Raised returns the model with every prediction higher by the given tiers.
func (m *Model) Raised(tiers float64) *Model {
	raised := *m
	raised.base += tiers
	return &raised
}

// SD is the standard deviation of the error of Difficulty for a phrase nobody has tried yet, in logits.
func (m *Model) SD() float64 { return m.sd }

// Weights are the tiers that one unit of each feature adds.
func (m *Model) Weights() Features { return m.weights }
