package fit

import "clapladder.example/patterns/internal/features"

// Settings are the choices of a fit that are not data.
type Settings struct {
	Ridge        float64 // pull of a standardised weight to zero; a rhythm weighs about 1
	RatingLogits float64 // logits that one standard deviation of the ratings stands for
	MetricLogits float64 // between metric simple and metric complex: logit of 74 less that of 53 per cent
	SetRhythms   float64 // rhythms that each data set weighs as much as
}

// DefaultSettings are those behind the weights of [difficulty.DefaultModel]. A ridge of 0.3 to 10
// changes little; 30 is too much.
func DefaultSettings() Settings {
	return Settings{Ridge: 3, RatingLogits: 0.8, MetricLogits: 0.93, SetRhythms: 20}
}

// Memory and Distance are the features of the two models that are averaged.
var (
	Memory = []features.Feature{
		features.Span, features.Runs, features.Syncopation, features.SilentBeats,
	}
	Distance = []features.Feature{features.Span, features.OffBeats}
)
