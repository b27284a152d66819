package main

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"clapladder.example/cmd/fitdifficulty/internal/fit"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm/measure/rank"
)

// report prints one section a method. It keeps the first error of the writer.
type report struct {
	out      io.Writer
	data     *fit.Data
	settings fit.Settings
	fitted   difficulty.Features
	err      error
}

func (r *report) printf(format string, values ...any) {
	if r.err == nil {
		_, r.err = fmt.Fprintf(r.out, format, values...)
	}
}

func (r *report) weights() {
	r.fitted = fit.Weights(r.data, r.settings)
	r.printf("Weights, tiers per unit (prior in brackets)\n")
	for i, w := range r.fitted {
		r.printf("  %-13s %6.3f  (%.2f ± %.2f)\n", difficulty.Feature(i), w, r.settings.Prior[i], r.settings.PriorSD[i])
	}
}

func (r *report) rho(name string, predictions []fit.Prediction) {
	rho, low, high := fit.Correlate(predictions)
	r.printf("  %-50s %5.2f  [%.2f, %.2f]  n %d\n", name, rho, low, high, len(predictions))
}

// unseen prints how well phrases are predicted that the fit had not seen, one at a time.
func (r *report) unseen() {
	r.printf("\nLeaving out one phrase at a time: Spearman's rho with its 90 %% bootstrap interval\n")
	r.rho("ratings (Povel & Essens patterns)", fit.LeaveOneRatingOut(r.data, r.settings))
	if len(r.data.Results) == 0 {
		return
	}
	results := fit.LeaveOneResultOut(r.data, r.settings)
	r.rho("clapped back, mean grade", fit.ByGrade(results))
	r.rho("clapped back, share that passed", fit.ByPass(results))
	r.printf("  error of prediction: %.2f logits, chance in the number of people taken off\n", fit.ModelError(results))
}

// sources leaves out one source at a time and predicts it.
func (r *report) sources() {
	r.printf("\nLeaving out one source at a time, and with all\n")
	if len(r.data.Results) > 0 {
		d := *r.data
		d.Results = nil
		w := fit.Weights(&d, r.settings)
		r.rho("clapped back, grade, fitted without any of it", fit.ByGrade(fit.PredictResults(w, r.data.Results)))
		r.rho("clapped back, passed, fitted without any of it", fit.ByPass(fit.PredictResults(w, r.data.Results)))
	}
	d := *r.data
	d.Ratings = nil
	r.rho("ratings, fitted without any of them", fit.Predict(fit.Weights(&d, r.settings), r.data.Ratings))
	d = *r.data
	d.Metric = nil
	auc, difference := r.data.MetricAUC(fit.Weights(&d, r.settings))
	r.printf("  metric simple against complex, fitted without them     AUC %.3f, %.2f logits apart\n", auc, difference)
	auc, difference = r.data.MetricAUC(r.fitted)
	low, high := r.aucInterval()
	r.printf("  metric simple against complex, all                     AUC %.3f [%.3f, %.3f], %.2f logits apart (0.93 published)\n", auc, low, high, difference)
	r.rho("Fitch & Rosenfeld index (never fitted)", fit.Predict(r.fitted, r.data.Index))
	r.rho("Essens 1995 ratings (never fitted)", fit.Predict(r.fitted, r.data.Later))
	r.printf("  means of Povel & Essens categories 1-7, above the first ")
	means := r.data.CategoryMeans(r.fitted)
	for _, m := range means {
		r.printf(" %.2f", m-means[0])
	}
	r.printf(", rising: %v\n", slices.IsSorted(means))
}

func (r *report) aucInterval() (low, high float64) {
	items := fit.Predict(r.fitted, r.data.Metric)
	return fit.Interval(len(items), func(cases []int) float64 {
		var simple, complex []float64
		for _, c := range cases {
			if r.data.Metric[c].Group == "metric_simple" {
				simple = append(simple, items[c].Predicted)
			} else {
				complex = append(complex, items[c].Predicted)
			}
		}
		return rank.AUC(simple, complex)
	})
}

// order compares the starter bank with the published teaching sequences: in its own steps, and as predicted.
func (r *report) order() {
	model := difficulty.NewModel(r.fitted, 0)
	var steps, predicted []fit.Placed
	for _, e := range bank.Starter().Entries {
		steps = append(steps, fit.Placed{Phrase: e.Phrase, Place: stepOf(e)})
		predicted = append(predicted, fit.Placed{Phrase: e.Phrase, Place: model.Difficulty(e.Phrase)})
	}
	r.printf("\nThe starter bank against published teaching sequences: Kendall's tau-b over classes of content.\n")
	r.printf("In its own steps; as predicted; and the most that an order without ties could reach\n")
	own, ours := fit.CompareOrder(r.data, steps), fit.CompareOrder(r.data, predicted)
	for i := range own {
		r.printf("  %-18s %2d classes  %5.2f  %5.2f  (%.2f)\n", own[i].Sequence, own[i].Classes, own[i].Tau, ours[i].Tau, ours[i].Best)
	}
	ownMean, ownLowest := fit.MeanAndLowest(own)
	mean, lowest := fit.MeanAndLowest(ours)
	r.printf("  mean                           %5.2f  %5.2f\n  lowest                         %5.2f  %5.2f\n", ownMean, mean, ownLowest, lowest)
}

// stepOf is the teaching step of a starter phrase, by its tag "step-N".
func stepOf(e bank.Entry) float64 {
	for _, tag := range e.Tags {
		if number, ok := strings.CutPrefix(tag, "step-"); ok {
			if step, err := strconv.Atoi(number); err == nil {
				return float64(step)
			}
		}
	}
	return 0
}
