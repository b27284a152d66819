package fitting

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"clapladder.example/patterns/fitting/internal/fit"
	"clapladder.example/patterns/fitting/internal/rank"
	"clapladder.example/patterns/internal/features"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/measure"
)

// tableRow is one predictor on all data sets. NaN stands for undefined on some phrase of the set.
type tableRow struct {
	name                              string
	rating, grade, pass, index, later float64
	metric                            float64 // AUC
}

// table compares the model with every single measure, best first by the mean of what people did and
// said.
func (r *report) table() {
	rows := []tableRow{r.modelRow()}
	for _, m := range measure.All() {
		rows = append(rows, r.measureRow(m.Name, func(p rhythm.Phrase) float64 {
			v, err := m.Of(p)
			if err != nil {
				return math.NaN()
			}
			return v
		}))
	}
	beats := func(p rhythm.Phrase) float64 { return float64(p.Beats()) }
	rows = append(rows, r.measureRow("Length in beats", beats),
		r.measureRow("Strokes", func(p rhythm.Phrase) float64 { return float64(len(p.Strokes())) }))
	for f := range features.Feature(features.Count) {
		if f != features.Sounds { // no data vary it
			alone := func(p rhythm.Phrase) float64 { return features.Of(p)[f] }
			rows = append(rows, r.measureRow("*"+f.String()+", our feature alone*", alone))
		}
	}
	slices.SortStableFunc(rows, func(a, b tableRow) int { return cmp.Compare(b.worth(), a.worth()) })
	r.printf("\nOur model against each single measure: Spearman's rho (metric: AUC), harder positive;\n" +
		"- where undefined\n")
	r.printf("Ours predicts ratings, clap-backs and conditions of sets that its fit had not " +
		"seen; a single\n" +
		"measure has nothing to fit.\n\n")
	r.printf("| predictor | ratings, 35 | clap-back grade | clap-back pass | metric AUC | " +
		"F&R index | Essens ratings |\n|---|---|---|---|---|---|---|\n")
	for _, row := range rows {
		r.printf("| %s | %s | %s | %s | %s | %s | %s |\n",
			row.name, figure(row.rating), figure(row.grade), figure(row.pass),
			figure(row.metric), figure(row.index), figure(row.later))
	}
}

// worth is the mean over ratings, grades and passes; undefined counts 0.
func (t tableRow) worth() float64 {
	sum := 0.0
	for _, v := range []float64{t.rating, t.grade, t.pass} {
		if !math.IsNaN(v) {
			sum += v / 3
		}
	}
	return sum
}

func figure(v float64) string {
	if math.IsNaN(v) {
		return "-"
	}
	return fmt.Sprintf("%.2f", v)
}

// modelRow predicts each of the first four columns with a fit that has not seen its data set.
func (r *report) modelRow() tableRow {
	row := tableRow{name: "**this model**", grade: math.NaN(), pass: math.NaN()}
	row.rating = fit.Rated(r.model(fit.Ratings).Unlimited, r.data.Ratings).Value
	if len(r.data.Results) > 0 {
		unseen := r.model(fit.Examination).Unlimited
		row.grade = fit.Graded(unseen, r.data.Results).Value
		row.pass = fit.Passed(unseen, r.data.Results).Value
	}
	row.metric = r.data.MetricAUC(r.model(fit.Conditions).Unlimited).Value
	all := r.model("").Unlimited
	row.index = fit.Rated(all, r.data.Index).Value
	row.later = fit.Rated(all, r.data.Later).Value
	return row
}

func (r *report) measureRow(name string, of func(rhythm.Phrase) float64) tableRow {
	row := tableRow{
		name: name, rating: rhoOf(r.data.Ratings, of),
		index: rhoOf(r.data.Index, of), later: rhoOf(r.data.Later, of),
	}
	row.grade, row.pass = math.NaN(), math.NaN()
	if len(r.data.Results) > 0 {
		grades, passes := make([]fit.Item, len(r.data.Results)), make([]fit.Item, len(r.data.Results))
		for i, result := range r.data.Results {
			grades[i], passes[i] = result.Item, result.Item
			grades[i].Value, passes[i].Value = -result.Grade, -result.Passed/result.Tried
		}
		row.grade, row.pass = rhoOf(grades, of), rhoOf(passes, of)
	}
	var simple, complex []float64
	for _, item := range r.data.Metric {
		v := of(item.Phrase)
		if math.IsNaN(v) {
			row.metric = math.NaN()
			return row
		}
		if item.Group == "metric_simple" {
			simple = append(simple, v)
		} else {
			complex = append(complex, v)
		}
	}
	row.metric = rank.AUC(simple, complex)
	return row
}

func rhoOf(items []fit.Item, of func(rhythm.Phrase) float64) float64 {
	var x, y []float64
	for _, item := range items {
		v := of(item.Phrase)
		if math.IsNaN(v) {
			return v
		}
		x, y = append(x, v), append(y, item.Value)
	}
	return rank.Spearman(x, y)
}
