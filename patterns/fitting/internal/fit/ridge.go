package fit

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/internal/features"
	"clapladder.example/patterns/internal/leastsquares"
)

// set is one data set on the scale of logits, up to a constant of its own.
type set struct {
	name    string
	rows    []Item
	targets []float64
}

// Names of the data sets that a fit may leave out.
const (
	Examination = "examination"
	Ratings     = "ratings"
	Conditions  = "metric conditions"
)

// SetNames are the data sets of a fit, in a fixed order.
var SetNames = []string{Examination, Ratings, Conditions}

// sets are all data sets with anything in them.
func (d *Data) sets(s Settings) []set {
	exam, rated, metric := set{name: Examination}, set{name: Ratings}, set{name: Conditions}
	for _, r := range d.Results {
		logit, _ := r.logit()
		exam.add(r.Item, logit)
	}
	mean, sd := stat.PopMeanStdDev(values(d.Ratings), nil)
	for _, item := range d.Ratings {
		rated.add(item, s.RatingLogits*(item.Value-mean)/sd)
	}
	for _, item := range d.Metric {
		if item.Group == metricComplex {
			metric.add(item, s.MetricLogits)
		} else if item.Group == metricSimple {
			metric.add(item, 0)
		}
	}
	var sets []set
	for _, one := range []set{exam, rated, metric} {
		if len(one.rows) > 0 {
			sets = append(sets, one)
		}
	}
	return sets
}

func (s *set) add(item Item, target float64) {
	s.rows, s.targets = append(s.rows, item), append(s.targets, target)
}

func values(items []Item) []float64 {
	var list []float64
	for _, item := range items {
		list = append(list, item.Value)
	}
	return list
}

// logit is the empirical logit of failing and its variance: half a person added on each side
// (Anscombe 1956).
func (r Result) logit() (logit, variance float64) {
	pass, fail := r.Passed+0.5, r.Tried-r.Passed+0.5
	return math.Log(fail / pass), 1/pass + 1/fail
}

// Without is the data less one set, by its name.
func (d *Data) Without(name string) *Data {
	rest := *d
	switch name {
	case Examination:
		rest.Results = nil
	case Ratings:
		rest.Ratings = nil
	case Conditions:
		rest.Metric = nil
	}
	return &rest
}

// Weights fits the given features, in tiers per unit, and leaves those of the others zero: a ridge
// regression to zero in which no weight is below zero, over whatever sets the data hold. Each set
// has a free constant and weighs the same. Features are measured in their standard deviations
// within sets, so that the ridge treats them alike; one that never varies there gets no weight.
func Weights(d *Data, s Settings, used ...features.Feature) (features.Values, error) {
	var w features.Values
	sets := d.sets(s)
	sd := withinSets(sets)
	problem := leastsquares.New(len(used)+len(sets), 0)
	for i := range used {
		problem.Pull(i, 0, s.Ridge)
	}
	for n, one := range sets {
		weight := s.SetRhythms / float64(len(one.rows))
		for k, row := range one.rows {
			terms := []leastsquares.Term{{Unknown: len(used) + n, Times: 1}}
			for i, f := range used {
				if sd[f] > 0 {
					terms = append(terms, leastsquares.Term{Unknown: i, Times: row.Features[f] / sd[f]})
				}
			}
			problem.Add(one.targets[k], weight, terms...)
		}
	}
	floor := make([]float64, len(used)+len(sets))
	for i := len(used); i < len(floor); i++ {
		floor[i] = math.Inf(-1)
	}
	solution, err := problem.Solve(floor)
	if err != nil {
		return w, fmt.Errorf("fitting %v: %w", used, err)
	}
	for i, f := range used {
		if sd[f] > 0 {
			w[f] = solution.Values[i] / sd[f]
		}
	}
	return w, nil
}

// withinSets is the pooled standard deviation of every feature around the mean of its set; 0 where
// it does not vary but for rounding.
func withinSets(sets []set) features.Values {
	var sd features.Values
	for f := range sd {
		sum := 0.0
		for _, one := range sets {
			var list []float64
			for _, row := range one.rows {
				list = append(list, row.Features[f])
			}
			sum += stat.PopVariance(list, nil) / float64(len(sets))
		}
		if sum > 1e-12 {
			sd[f] = math.Sqrt(sum)
		}
	}
	return sd
}

// Model is the whole model as it would be with a fit over the data: the mean of the fitted one and
// the one that comes fixed, and the priors.
func Model(d *Data, s Settings) (*difficulty.Model, error) {
	w, err := Weights(d, s, Memory...)
	if err != nil {
		return nil, err
	}
	return difficulty.NewModel(difficulty.Average(w)), nil
}
