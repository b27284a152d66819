package main

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/response"
	"clapladder.example/assess/internal/robust"
)

// tables are the numbers that are fitted.
type tables struct {
	spread   []float64 // weights of response.SpreadNames
	full     []float64 // weights of response.FullNames
	share    []float64 // weights of response.ShareNames
	variance []float64 // weights of response.ErrorNames
	mean     []float64 // weights of response.ReadingNames, of the mean
	scatter  []float64 // the same of the variance
	notes    []float64 // weights of response.NoteNames
	extras   []float64 // weights of response.ExtraNames
}

// each calls do with every answer.
func each(warmups []Warmup, do func(w *Warmup, a *Answer)) {
	for i := range warmups {
		for k := range warmups[i].Answers {
			do(&warmups[i], &warmups[i].Answers[k])
		}
	}
}

// without leaves a class out; only keeps it alone.
func without(warmups []Warmup, class string) []Warmup {
	return slices.DeleteFunc(slices.Clone(warmups), func(w Warmup) bool { return w.Class == class })
}

func only(warmups []Warmup, class string) []Warmup {
	return slices.DeleteFunc(slices.Clone(warmups), func(w Warmup) bool { return w.Class != class })
}

// steady gives every answer the spread that the table makes of it.
func steady(warmups []Warmup, spread []float64) {
	each(warmups, func(_ *Warmup, a *Answer) {
		f := response.SpreadFeatures(a.Heard.Fitted, a.Heard.Looser)
		a.Heard.Spread = response.SpreadMiddle * math.Exp(weigh(spread, f[:]))
	})
}

// rescale gives every answer the energies over the full group that the table makes of it.
func rescale(warmups []Warmup, full []float64) {
	used := response.Tables()["fullWeights"]
	for i := range warmups {
		w := &warmups[i]
		by := response.FullCorrection(used, w.Total, len(w.Answers)) /
			response.FullCorrection(full, w.Total, len(w.Answers))
		for k := range w.Answers {
			w.Answers[k].Heard = w.Answers[k].Heard.Scaled(by)
		}
	}
}

// leastThere is the share of the people who must have clapped a note for its energy to tell what
// all of them give, and leastNotes how many such notes a warm-up must have.
const (
	leastThere = 0.6
	leastNotes = 6
)

// fitFull fits what a full group gives, by the notes that most people clapped.
func fitFull(warmups []Warmup) ([]float64, error) {
	used := response.Tables()["fullWeights"]
	var features [][]float64
	var wanted []float64
	for _, w := range warmups {
		var ratios []float64
		for _, a := range w.Answers {
			for i, p := range a.Notes {
				if p >= leastThere {
					ratios = append(ratios, a.Heard.All[i]/p)
				}
			}
		}
		if len(ratios) < leastNotes {
			continue
		}
		f := response.FullFeatures(w.Total)
		features = append(features, f[:])
		wanted = append(wanted, math.Log(robust.Upper(ratios)*
			response.FullCorrection(used, w.Total, len(w.Answers))))
	}
	return leastSquares(features, wanted)
}

// fitAll fits all tables, and gives the warm-ups the spreads and energies by them.
func fitAll(warmups []Warmup) (tables, error) {
	spread, err := fitSpread(warmups)
	if err != nil {
		return tables{}, err
	}
	steady(warmups, spread)
	full, err := fitFull(warmups)
	if err != nil {
		return tables{}, err
	}
	rescale(warmups, full)
	t, err := fit(warmups)
	t.spread, t.full = spread, full
	return t, err
}

// fit fits all tables but those of spreads and of the full group, which come first, see steady and
// rescale. The error of a share is that of answers of classes left out, so that it is not stated
// too small.
func fit(warmups []Warmup) (tables, error) {
	var t tables
	var err error
	if t.share, err = fitShare(warmups); err != nil {
		return t, err
	}
	if err := t.fitErrors(warmups); err != nil {
		return t, err
	}
	if t.notes, err = fitNotes(warmups, t.share); err != nil {
		return t, err
	}
	t.extras, err = fitExtras(warmups, t.share)
	return t, err
}

// fitErrors fits what is heard of a true share, and how far from it.
func (t *tables) fitErrors(warmups []Warmup) error {
	var byEstimate, byTruth [][]float64
	var squares, estimates []float64
	for _, class := range classes(warmups) {
		others, err := fitShare(without(warmups, class))
		if err != nil {
			return err
		}
		each(only(warmups, class), func(_ *Warmup, a *Answer) {
			estimate := weigh(others, a.Heard.ShareFeatures())
			f, g := response.ErrorFeatures(estimate), response.ReadingFeatures(a.Share, len(a.Notes))
			byEstimate, byTruth = append(byEstimate, f[:]), append(byTruth, g[:])
			squares = append(squares, (estimate-a.Share)*(estimate-a.Share))
			estimates = append(estimates, estimate)
		})
	}
	var err error
	if t.variance, err = leastSquares(byEstimate, squares); err != nil {
		return err
	}
	if t.mean, err = leastSquares(byTruth, estimates); err != nil {
		return err
	}
	for i, x := range estimates {
		off := x - weigh(t.mean, byTruth[i])
		squares[i] = off * off
	}
	t.scatter, err = leastSquares(byTruth, squares)
	return err
}

func fitShare(warmups []Warmup) ([]float64, error) {
	var features [][]float64
	var shares []float64
	each(warmups, func(_ *Warmup, a *Answer) {
		features = append(features, a.Heard.ShareFeatures())
		shares = append(shares, a.Share)
	})
	return leastSquares(features, shares)
}

func fitSpread(warmups []Warmup) ([]float64, error) {
	var features [][]float64
	var spreads []float64
	each(warmups, func(_ *Warmup, a *Answer) {
		if a.Spread <= 0 || a.Heard.Fitted <= 0 {
			return
		}
		f := response.SpreadFeatures(a.Heard.Fitted, a.Heard.Looser)
		features = append(features, f[:])
		spreads = append(spreads, math.Log(a.Spread/response.SpreadMiddle))
	})
	return leastSquares(features, spreads)
}

func fitNotes(warmups []Warmup, share []float64) ([]float64, error) {
	var features [][]float64
	var heard []float64
	each(warmups, func(_ *Warmup, a *Answer) {
		estimate := clamp01(weigh(share, a.Heard.ShareFeatures()))
		for i, p := range a.Notes {
			features = append(features, a.Heard.NoteFeatures(i, estimate))
			heard = append(heard, p)
		}
	})
	return leastSquares(features, heard)
}

func fitExtras(warmups []Warmup, share []float64) ([]float64, error) {
	var features [][]float64
	var heard []float64
	each(warmups, func(_ *Warmup, a *Answer) {
		estimate := clamp01(weigh(share, a.Heard.ShareFeatures()))
		for i, p := range a.Extras {
			features = append(features, a.Heard.ExtraFeatures(i, estimate))
			heard = append(heard, p)
		}
	})
	return leastSquares(features, heard)
}

// classes lists the classes in order of first mention.
func classes(warmups []Warmup) []string {
	var out []string
	for _, w := range warmups {
		if !slices.Contains(out, w.Class) {
			out = append(out, w.Class)
		}
	}
	return out
}

// errorOf is the stated standard error of a share, before leaning.
func (t tables) errorOf(share float64) float64 {
	f := response.ErrorFeatures(share)
	return math.Sqrt(max(weigh(t.variance, f[:]), response.LeastShareError*response.LeastShareError))
}
