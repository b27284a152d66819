package fit

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/fitting/internal/rank"
	"clapladder.example/patterns/internal/features"
	"clapladder.example/rhythm"
)

// Predictor gives a phrase a difficulty; the constant does not matter.
type Predictor func(p rhythm.Phrase) float64

// Figure is one figure of how well a model predicts a data set, with its 90 per cent bootstrap
// interval over the phrases of the set.
type Figure struct {
	Value, Low, High float64 // NaN where it can't be told
	N                int     // phrases, or pairs
}

// Conditions of the metric data.
const (
	metricSimple  = "metric_simple"
	metricComplex = "metric_complex"
)

func predict(of Predictor, items []Item) []float64 {
	var list []float64
	for _, item := range items {
		list = append(list, of(item.Phrase))
	}
	return list
}

// spearman is the rank correlation of predictions with what is known.
func spearman(x, y []float64) Figure {
	f := Figure{Value: rank.Spearman(x, y), N: len(x)}
	f.Low, f.High = SpearmanInterval(x, y)
	return f
}

// Rated is the rank correlation with the values of items: ratings, an index.
func Rated(of Predictor, items []Item) Figure {
	return spearman(predict(of, items), values(items))
}

// Graded and Passed are the rank correlations with how badly people did.
func Graded(of Predictor, results []Result) Figure { return byResult(of, results, Result.badly) }

// Passed is like Graded for the share that passed.
func Passed(of Predictor, results []Result) Figure { return byResult(of, results, Result.failed) }

func (r Result) badly() float64  { return -r.Grade }
func (r Result) failed() float64 { return -r.Passed / r.Tried }

func byResult(of Predictor, results []Result, value func(Result) float64) Figure {
	var x, y []float64
	for _, r := range results {
		x, y = append(x, of(r.Phrase)), append(y, value(r))
	}
	return spearman(x, y)
}

// ClearPairs is the share of pairs of phrases in the right order among those that people clearly
// separated: mean grades two standard errors of their difference apart. Ties count half. A phrase
// without a standard error is in no pair.
func ClearPairs(of Predictor, results []Result) Figure {
	x := make([]float64, len(results))
	for i, r := range results {
		x[i] = of(r.Phrase)
	}
	pairs := 0
	share := func(cases []int) float64 {
		right, clear := 0.0, 0
		for i, a := range cases {
			for _, b := range cases[:i] {
				apart := results[b].Grade - results[a].Grade
				if results[a].GradeSE == 0 || results[b].GradeSE == 0 ||
					math.Abs(apart) <= 2*math.Hypot(results[a].GradeSE, results[b].GradeSE) {
					continue
				}
				clear++
				switch order := apart * (x[a] - x[b]); {
				case order > 0:
					right++
				case order == 0:
					right += 0.5
				}
			}
		}
		pairs = clear
		if clear == 0 {
			return math.NaN()
		}
		return right / float64(clear)
	}
	f := Figure{Value: share(everyOne(len(results)))}
	f.N = pairs
	f.Low, f.High = Interval(len(results), share)
	return f
}

// ErrorOverConstant is the root mean square error in logits of failing over that of a constant,
// each with its best constant.
func ErrorOverConstant(of Predictor, results []Result) Figure {
	logits, errors := make([]float64, len(results)), make([]float64, len(results))
	for i, r := range results {
		logits[i], _ = r.logit()
		errors[i] = logits[i] - of(r.Phrase)
	}
	ratio := func(cases []int) float64 {
		return math.Sqrt(stat.PopVariance(pick(errors, cases), nil) /
			stat.PopVariance(pick(logits, cases), nil))
	}
	f := Figure{Value: ratio(everyOne(len(results))), N: len(results)}
	f.Low, f.High = Interval(len(results), ratio)
	return f
}

// MetricAUC is the chance that a metric complex phrase is predicted harder than a metric simple
// one.
func (d *Data) MetricAUC(of Predictor) Figure {
	x := predict(of, d.Metric)
	area := func(cases []int) float64 {
		var simple, complex []float64
		for _, c := range cases {
			switch d.Metric[c].Group {
			case metricSimple:
				simple = append(simple, x[c])
			case metricComplex:
				complex = append(complex, x[c])
			}
		}
		return rank.AUC(simple, complex)
	}
	f := Figure{Value: area(everyOne(len(x))), N: len(x)}
	f.Low, f.High = Interval(len(x), area)
	return f
}

// MetricDifference is how many tiers metric complex phrases lie above metric simple ones on
// average.
func (d *Data) MetricDifference(of Predictor) float64 {
	return stat.Mean(predict(of, d.condition(metricComplex)), nil) -
		stat.Mean(predict(of, d.condition(metricSimple)), nil)
}

func (d *Data) condition(name string) []Item {
	var items []Item
	for _, item := range d.Metric {
		if item.Group == name {
			items = append(items, item)
		}
	}
	return items
}

// CategoryMeans are the mean difficulties of the categories of the ratings in their order.
func (d *Data) CategoryMeans(of Predictor) []float64 {
	var means []float64
	for from := 0; from < len(d.Ratings); {
		to := from
		for to < len(d.Ratings) && d.Ratings[to].Group == d.Ratings[from].Group {
			to++
		}
		means = append(means, stat.Mean(predict(of, d.Ratings[from:to]), nil))
		from = to
	}
	return means
}

// Residual is the standard deviation, in logits, that must be added to the model's doubt about its
// weights and to chance in the number of people, so that results come out as far from predictions
// as they do.
func Residual(m *difficulty.Model, results []Result) float64 {
	doubt, _ := m.Doubt()
	var errors []float64
	known := 0.0
	for _, r := range results {
		logit, chance := r.logit()
		errors = append(errors, logit-m.Unlimited(r.Phrase))
		known += chance / float64(len(results))
	}
	for f := range doubt {
		var list []float64
		for _, r := range results {
			list = append(list, r.Features[f])
		}
		known += doubt[f] * doubt[f] * stat.PopVariance(list, nil)
	}
	return math.Sqrt(max(0, stat.Variance(errors, nil)-known))
}

// Most is the largest value of every feature in the sets of a fit.
func (d *Data) Most(s Settings) features.Values {
	var most features.Values
	for _, one := range d.sets(s) {
		for _, row := range one.rows {
			for f, v := range row.Features {
				most[f] = max(most[f], v)
			}
		}
	}
	return most
}

func everyOne(n int) []int {
	cases := make([]int, n)
	for i := range cases {
		cases[i] = i
	}
	return cases
}

func pick(list []float64, cases []int) []float64 {
	out := make([]float64, len(cases))
	for i, c := range cases {
		out[i] = list[c]
	}
	return out
}
