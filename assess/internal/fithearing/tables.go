package main

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/response"
)

// tables are the numbers that are fitted.
type tables struct {
	spread   []float64 // weights of response.SpreadNames
	share    []float64 // weights of response.ShareNames
	variance []float64 // weights of response.ErrorFeatures
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

// fit fits all tables but that of spreads, which comes first, see steady. The error of a share is
// that of answers of classes left out, so that it is not stated too small.
func fit(warmups []Warmup) (tables, error) {
	var t tables
	var err error
	if t.share, err = fitShare(warmups); err != nil {
		return t, err
	}
	var features [][]float64
	var squares []float64
	for _, class := range classes(warmups) {
		others, err := fitShare(without(warmups, class))
		if err != nil {
			return t, err
		}
		each(only(warmups, class), func(_ *Warmup, a *Answer) {
			estimate := weigh(others, a.Heard.ShareFeatures())
			f := response.ErrorFeatures(estimate)
			features = append(features, f[:])
			squares = append(squares, (estimate-a.Share)*(estimate-a.Share))
		})
	}
	if t.variance, err = leastSquares(features, squares); err != nil {
		return t, err
	}
	if t.notes, err = fitNotes(warmups, t.share); err != nil {
		return t, err
	}
	t.extras, err = fitExtras(warmups, t.share)
	return t, err
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
