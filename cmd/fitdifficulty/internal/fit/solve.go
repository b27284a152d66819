package fit

import (
	"math"

	"clapladder.example/patterns/difficulty"
)

// Settings are the choices of a fit that are not data.
type Settings struct {
	Prior      difficulty.Features // weights that the fit shrinks toward, tiers per unit
	PriorSD    difficulty.Features // how far a weight may stray from there
	LogitSD    float64             // error of the model for a phrase, logits, beside the chance in pass rates
	RatingSD   float64             // error of the model for a rating, rating units
	MetricSD   float64             // error of the difference between the means of two conditions, logits
	LadderStep float64             // tiers a step of the merged ladder for phrases of one bar
	LadderSD   float64             // error of a class of the merged ladder, tiers
	Margin     float64             // tiers between the classes of one step of a published sequence and those of the next
	MarginSD   float64             // how hard the margin is
	SlopeStart float64             // rating units per logit
}

// equation says that weights times features is about target, up to a free constant for each group.
type equation struct {
	features difficulty.Features
	target   float64
	weight   float64 // 1 / variance
	group    string  // "" has no free constant
}

// Weights fits the model: a ridge regression towards the prior in which no weight is below zero, over
//   - pass rates and grades of people who clapped back, as logits, so that one unit is one logit;
//   - the difference between the conditions of the metric data, in logits;
//   - ratings, by a free linear scale, so that they fix the order only;
//   - the merged teaching ladder, some tiers a step;
//   - the published sequences, as margins between the classes of consecutive steps.
func Weights(d *Data, s Settings) difficulty.Features {
	w, slope := s.Prior, s.SlopeStart
	for range 60 {
		equations := d.resultEquations(s)
		equations = append(equations, d.metricEquations(s)...)
		equations = append(equations, d.ratingEquations(s, slope)...)
		equations = append(equations, d.ladderEquations(s)...)
		equations = append(equations, d.sequenceEquations(s, w)...)
		next := solve(equations, s)
		if len(d.Ratings) > 0 {
			slope = ratingSlope(d.Ratings, next)
		}
		change := 0.0
		for i := range w {
			change = max(change, math.Abs(next[i]-w[i]))
			w[i] = (w[i] + next[i]) / 2 // damped: margins switch on and off
		}
		if change < 1e-7 {
			break
		}
	}
	return w
}

func (d *Data) resultEquations(s Settings) []equation {
	var equations []equation
	for _, r := range d.Results {
		logit, chance := r.logit()
		variance := chance + s.LogitSD*s.LogitSD
		// The mean grade as a share of full marks measures the same; each counts half.
		marks := min(max((r.Grade-1)/3, 0.02), 0.98)
		equations = append(equations,
			equation{r.Features, logit, 0.5 / variance, "pass"},
			equation{r.Features, -math.Log(marks / (1 - marks)), 0.5 / variance, "grade"})
	}
	return equations
}

func (d *Data) metricEquations(s Settings) []equation {
	simple, complex := d.condition("metric_simple"), d.condition("metric_complex")
	if len(simple) == 0 || len(complex) == 0 {
		return nil
	}
	logit := func(percent float64) float64 { return math.Log(percent / (100 - percent)) }
	return []equation{{
		features: subtract(meanFeatures(complex), meanFeatures(simple)),
		target:   logit(simple[0].Value) - logit(complex[0].Value),
		weight:   1 / (s.MetricSD * s.MetricSD),
	}}
}

func (d *Data) ratingEquations(s Settings, slope float64) []equation {
	var equations []equation
	for _, item := range d.Ratings {
		equations = append(equations, equation{scale(item.Features, slope), item.Value, 1 / (s.RatingSD * s.RatingSD), "rating"})
	}
	return equations
}

func ratingSlope(items []Item, w difficulty.Features) float64 {
	var x, y []float64
	for _, item := range items {
		x = append(x, dot(w, item.Features))
		y = append(y, item.Value)
	}
	_, slope := line(x, y)
	return max(slope, 0.05)
}

func (d *Data) ladderEquations(s Settings) []equation {
	plain := plainFeatures()
	size := map[string]float64{}
	for _, item := range d.Teaching {
		size[item.Group]++
	}
	var equations []equation
	for _, item := range d.Teaching {
		equations = append(equations, equation{
			subtract(item.Features, plain), s.LadderStep * float64(item.Step-1), 1 / (s.LadderSD * s.LadderSD * size[item.Group]), "",
		})
	}
	return equations
}

// sequenceEquations hold for the steps whose order the weights w get wrong or nearly so.
func (d *Data) sequenceEquations(s Settings, w difficulty.Features) []equation {
	classes := map[string][]Item{}
	for _, item := range d.Teaching {
		classes[item.Group] = append(classes[item.Group], item)
	}
	var equations []equation
	for i := 1; i < len(d.Steps); i++ {
		if d.Steps[i].Sequence != d.Steps[i-1].Sequence {
			continue
		}
		before, after := d.Steps[i-1].Classes, d.Steps[i].Classes
		for _, a := range after {
			for _, b := range before {
				if len(classes[a]) == 0 || len(classes[b]) == 0 {
					continue
				}
				difference := subtract(meanFeatures(classes[a]), meanFeatures(classes[b]))
				if dot(w, difference) < s.Margin {
					weight := 1 / (s.MarginSD * s.MarginSD * float64(len(after)*len(before)))
					equations = append(equations, equation{difference, s.Margin, weight, ""})
				}
			}
		}
	}
	return equations
}

// solve minimises the weighted squares plus the ridge over weights of 0 and more, by coordinate descent.
func solve(equations []equation, s Settings) difficulty.Features {
	const n = difficulty.FeatureCount
	var a [n][n]float64
	var b [n]float64
	for i := range n {
		precision := 1 / (s.PriorSD[i] * s.PriorSD[i])
		a[i][i] += precision
		b[i] += precision * s.Prior[i]
	}
	for _, e := range centred(equations) {
		for i := range n {
			for j := range n {
				a[i][j] += e.weight * e.features[i] * e.features[j]
			}
			b[i] += e.weight * e.features[i] * e.target
		}
	}
	w := s.Prior
	for range 2000 {
		for i := range n {
			residual := b[i]
			for j := range n {
				if j != i {
					residual -= a[i][j] * w[j]
				}
			}
			w[i] = max(0, residual/a[i][i])
		}
	}
	return w
}

// centred takes the free constants out of the equations.
func centred(equations []equation) []equation {
	type sums struct {
		features       difficulty.Features
		target, weight float64
	}
	groups := map[string]*sums{}
	for _, e := range equations {
		if groups[e.group] == nil {
			groups[e.group] = &sums{}
		}
		g := groups[e.group]
		for i, v := range e.features {
			g.features[i] += e.weight * v
		}
		g.target += e.weight * e.target
		g.weight += e.weight
	}
	result := make([]equation, len(equations))
	for k, e := range equations {
		if g := groups[e.group]; e.group != "" {
			e.features = subtract(e.features, scale(g.features, 1/g.weight))
			e.target -= g.target / g.weight
		}
		result[k] = e
	}
	return result
}
