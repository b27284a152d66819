package onset

import (
	"math"
	"slices"
)

// Kind says how a candidate is judged.
type Kind int

// The kinds of candidates.
const (
	ClapKind  Kind = iota // one person's clap
	GroupKind             // a group's
	DullKind              // one person's stamp or pat
	Kinds
)

// KindNames are short names of the kinds.
var KindNames = [Kinds]string{"clap", "group", "dull"}

// FeatureNames name the features of a candidate of each kind, which weights belong to.
var FeatureNames = [Kinds][]string{
	{"one", "rise, dB", "level, dB", "scrape"},
	{"one", "sharpest rise, dB", "over the background, dB", "level, dB", "dull", "wide, s"},
	{"one", "rise, dB", "level, dB"},
}

// Weights weigh the features of the evidence that a sound is a burst, for each kind. The weighted sum
// is the logit of the confidence.
type Weights [Kinds][]float64

// InUse are the weights that [Detail.Bursts] judges by; the caller owns them.
func InUse() Weights {
	return Weights{slices.Clone(clapWeights[:]), slices.Clone(groupWeights[:]), slices.Clone(dullWeights[:])}
}

// confidence is the chance of a burst with such features.
func (w *Weights) confidence(kind Kind, features []float64) float64 {
	return chance(w.logit(kind, features))
}

func (w *Weights) logit(kind Kind, features []float64) float64 {
	sum := 0.0
	for i, x := range features {
		sum += w[kind][i] * x
	}
	return sum
}

// chance is the logistic function.
func chance(logit float64) float64 { return 1 / (1 + math.Exp(-logit)) }
