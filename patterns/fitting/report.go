package fitting

import (
	"fmt"
	"io"
	"slices"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/fitting/internal/fit"
	"clapladder.example/patterns/internal/features"
)

// report prints one section a method. It keeps the first error.
type report struct {
	out      io.Writer
	data     *fit.Data
	settings fit.Settings
	err      error
}

func (r *report) printf(format string, values ...any) {
	if r.err == nil {
		_, r.err = fmt.Fprintf(r.out, format, values...)
	}
}

// model is the whole model fitted to the data less one set.
func (r *report) model(without string) *difficulty.Model {
	m, err := fit.Model(r.data.Without(without), r.settings)
	if err != nil {
		r.fail(err)
		return difficulty.DefaultModel()
	}
	return m
}

func (r *report) weightsOf(d *fit.Data, used []features.Feature) features.Values {
	w, err := fit.Weights(d, r.settings, used...)
	r.fail(err)
	return w
}

func (r *report) fail(err error) {
	if r.err == nil {
		r.err = err
	}
}

// weights prints the fitted weights, with everything and with each set left out, and the model that
// comes with the package.
func (r *report) weights() {
	models := []struct {
		name string
		used []features.Feature
	}{{"by memory, fitted", fit.Memory}, {"by distance from the beat, as a check", fit.Distance}}
	for _, m := range models {
		r.printf("Model %s: tiers per unit\n  %-30s", m.name, "")
		for _, f := range m.used {
			r.printf(" %12s", f)
		}
		r.printf("\n")
		for _, left := range append([]string{""}, fit.SetNames...) {
			title := "all sets"
			if left != "" {
				title = "without " + left
			}
			r.printf("  %-30s", title)
			w := r.weightsOf(r.data.Without(left), m.used)
			for _, f := range m.used {
				r.printf(" %12.3f", w[f])
			}
			r.printf("\n")
		}
	}
	r.printf("Model that comes with the package, and the largest value in the fitted sets\n")
	most := r.data.Most(r.settings)
	for f, w := range difficulty.DefaultModel().Weights() {
		r.printf("  %-14s %6.3f  %6.2f\n", features.Feature(f), w, most[f])
	}
}

func (r *report) figure(name string, f fit.Figure) {
	r.printf("  %-52s %5.2f  [%.2f, %.2f]  n %d\n", name, f.Value, f.Low, f.High, f.N)
}

// sets prints how well the model predicts each whole set that its fit has not seen.
func (r *report) sets() {
	r.printf("\nWhole data sets that the fit has not seen: Spearman's rho unless said otherwise,\n" +
		"with its 90 %% bootstrap interval over phrases. The fixed half of the model stays.\n")
	r.examination("unseen", r.model(fit.Examination))
	r.figure("ratings (Povel & Essens patterns), unseen",
		fit.Rated(r.model(fit.Ratings).Unlimited, r.data.Ratings))
	unseen := r.model(fit.Conditions).Unlimited
	r.figure("metric simple against complex, unseen: AUC", r.data.MetricAUC(unseen))
	all := r.model("")
	r.figure("Fitch & Rosenfeld index, never fitted", fit.Rated(all.Unlimited, r.data.Index))
	r.figure("Essens 1995 ratings, a stress test, never fitted", fit.Rated(all.Unlimited, r.data.Later))

	r.printf("\nThe model as it comes with the package. It was fitted to ratings, conditions and the\n" +
		"examination of 2015; results of another year it has not seen.\n")
	shipped := difficulty.DefaultModel()
	r.examination("as it comes", shipped)
	r.figure("ratings, as it comes", fit.Rated(shipped.Unlimited, r.data.Ratings))
	r.figure("metric simple against complex, as it comes: AUC", r.data.MetricAUC(shipped.Unlimited))
	r.printf("  metric complex above metric simple: %.2f logits (0.93 published)\n",
		r.data.MetricDifference(shipped.Unlimited))
	means := r.data.CategoryMeans(shipped.Unlimited)
	r.printf("  means of Povel & Essens categories 1-7, above the first:")
	for _, m := range means {
		r.printf(" %.2f", m-means[0])
	}
	r.printf(", rising: %v\n", slices.IsSorted(means))
}

func (r *report) examination(how string, m *difficulty.Model) {
	if len(r.data.Results) == 0 {
		return
	}
	of := m.Unlimited
	r.figure("examination, mean grade, "+how, fit.Graded(of, r.data.Results))
	r.figure("examination, share that passed, "+how, fit.Passed(of, r.data.Results))
	r.figure("examination, clear pairs in order, "+how, fit.ClearPairs(of, r.data.Results))
	r.figure("examination, error over a constant's, "+how, fit.ErrorOverConstant(of, r.data.Results))
	r.printf("  error left beside doubt and chance: %.2f logits\n", fit.Residual(m, r.data.Results))
}

// order compares the starter bank, as predicted, with the published teaching sequences.
func (r *report) order() {
	m := difficulty.DefaultModel()
	var predicted []fit.Placed
	for _, e := range bank.Starter().Entries {
		predicted = append(predicted, fit.Placed{Phrase: e.Phrase, Place: m.Difficulty(e.Phrase)})
	}
	r.printf("\nThe starter bank, as predicted, against published teaching sequences: Kendall's tau-b\n" +
		"over classes of content, and the most that an order without ties could reach\n")
	orders := fit.CompareOrder(r.data, predicted)
	for _, o := range orders {
		r.printf("  %-18s %2d classes  %5.2f  (%.2f)\n", o.Sequence, o.Classes, o.Tau, o.Best)
	}
	mean, lowest := fit.MeanAndLowest(orders)
	r.printf("  mean %.2f, lowest %.2f\n", mean, lowest)
}
