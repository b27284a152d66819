package fit

import (
	"math"

	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm/measure/rank"
	"gonum.org/v1/gonum/stat"
)

// Prediction is one phrase that the fit had not seen, or a whole source of them.
type Prediction struct {
	ID        string  // of the phrase in its data set
	Predicted float64 // difficulty without its constant, tiers
	Value     float64 // what is known, by the data set
}

// Correlate is the rank correlation of predictions with what is known, with its 90 per cent bootstrap interval.
func Correlate(predictions []Prediction) (rho, low, high float64) {
	var x, y []float64
	for _, p := range predictions {
		x, y = append(x, p.Predicted), append(y, p.Value)
	}
	rho = rank.Spearman(x, y)
	low, high = SpearmanInterval(x, y)
	return rho, low, high
}

// Predict gives every item its difficulty by the weights.
func Predict(w difficulty.Features, items []Item) []Prediction {
	predictions := make([]Prediction, len(items))
	for i, item := range items {
		predictions[i] = Prediction{item.ID, dot(w, item.Features), item.Value}
	}
	return predictions
}

// LeaveOneRatingOut fits once for each rated phrase, without it, and predicts it.
func LeaveOneRatingOut(d *Data, s Settings) []Prediction {
	predictions := make([]Prediction, len(d.Ratings))
	for i, item := range d.Ratings {
		rest := *d
		rest.Ratings = without(d.Ratings, i)
		predictions[i] = Prediction{item.ID, dot(Weights(&rest, s), item.Features), item.Value}
	}
	return predictions
}

// ResultPrediction is a phrase that people clapped back, predicted without it.
type ResultPrediction struct {
	Result
	Predicted float64 // difficulty without its constant, tiers
	Error     float64 // logit of failing as seen, minus predicted
	Chance    float64 // variance of the seen logit by the number of people alone
}

// LeaveOneResultOut fits once for each phrase that people clapped back, without it, and predicts it. The same
// rhythm under another name is left out with it.
func LeaveOneResultOut(d *Data, s Settings) []ResultPrediction {
	predictions := make([]ResultPrediction, len(d.Results))
	for i, r := range d.Results {
		rest := *d
		rest.Results = nil
		for _, other := range d.Results {
			if !other.Phrase.Equal(r.Phrase) {
				rest.Results = append(rest.Results, other)
			}
		}
		predictions[i] = predictResult(r, rest.Results, Weights(&rest, s))
	}
	return predictions
}

// PredictResults predicts all results with weights that come from elsewhere.
func PredictResults(w difficulty.Features, results []Result) []ResultPrediction {
	predictions := make([]ResultPrediction, len(results))
	for i, r := range results {
		predictions[i] = predictResult(r, without(results, i), w)
	}
	return predictions
}

// predictResult takes the constant, how able these people are, from the others.
func predictResult(r Result, others []Result, w difficulty.Features) ResultPrediction {
	var differences, weights []float64
	for _, other := range others {
		logit, chance := other.logit()
		differences = append(differences, logit-dot(w, other.Features))
		weights = append(weights, 1/(chance+0.25))
	}
	logit, chance := r.logit()
	p := ResultPrediction{Result: r, Predicted: dot(w, r.Features), Chance: chance}
	p.Error = logit - p.Predicted - stat.Mean(differences, weights)
	return p
}

// logit is the empirical logit of failing and its variance: half a person added on each side (Anscombe 1956).
func (r Result) logit() (logit, variance float64) {
	pass, fail := r.Passed+0.5, r.Tried-r.Passed+0.5
	return math.Log(fail / pass), 1/pass + 1/fail
}

// ModelError is the standard deviation of the model's own error in logits: of the errors, less what chance in the
// number of people explains.
func ModelError(predictions []ResultPrediction) float64 {
	squares, chance := 0.0, 0.0
	for _, p := range predictions {
		squares += p.Error * p.Error
		chance += p.Chance
	}
	return math.Sqrt(max(0, squares-chance) / float64(len(predictions)))
}

// ByGrade and ByPass turn predictions into pairs whose rank correlation is positive for a good model: difficulty
// against how badly people did.
func ByGrade(predictions []ResultPrediction) []Prediction {
	pairs := make([]Prediction, len(predictions))
	for i, p := range predictions {
		pairs[i] = Prediction{p.ID, p.Predicted, -p.Grade}
	}
	return pairs
}

// ByPass is like ByGrade for the share that passed.
func ByPass(predictions []ResultPrediction) []Prediction {
	pairs := make([]Prediction, len(predictions))
	for i, p := range predictions {
		pairs[i] = Prediction{p.ID, p.Predicted, -p.Passed / p.Tried}
	}
	return pairs
}

// MetricAUC is the chance that a metric complex phrase is predicted harder than a metric simple one, and by how many
// logits on average.
func (d *Data) MetricAUC(w difficulty.Features) (auc, difference float64) {
	var simple, complex []float64
	for _, item := range d.condition("metric_simple") {
		simple = append(simple, dot(w, item.Features))
	}
	for _, item := range d.condition("metric_complex") {
		complex = append(complex, dot(w, item.Features))
	}
	return rank.AUC(simple, complex), stat.Mean(complex, nil) - stat.Mean(simple, nil)
}

// CategoryMeans are the mean difficulties, without constant, of the categories of the ratings in their order.
func (d *Data) CategoryMeans(w difficulty.Features) []float64 {
	var means []float64
	for from := 0; from < len(d.Ratings); {
		to := from
		for to < len(d.Ratings) && d.Ratings[to].Group == d.Ratings[from].Group {
			to++
		}
		means = append(means, dot(w, meanFeatures(d.Ratings[from:to])))
		from = to
	}
	return means
}

func without[T any](all []T, i int) []T {
	rest := make([]T, 0, len(all)-1)
	return append(append(rest, all[:i]...), all[i+1:]...)
}
