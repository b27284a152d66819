package exchange

import (
	"fmt"
	"io"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"clapladder.example/assess/internal/figures"
	"clapladder.example/assess/internal/realsound"
)

// BenchmarkFit prints the weights of the evidence as they stand in tuning.go, how well they do on each
// class while it is left out of the fit, and whether the probabilities so given are kept. Sounds are
// of the tuning half of the recorded reels, but for the classes held back, and made-up warm-ups. It
// takes minutes.
func BenchmarkFit(b *testing.B) {
	l := realsound.Find(b)
	for b.Loop() {
		examples := slices.Concat(
			reelExamples(b, l, false, 4), madeUpExamples(b, 77000, 3),
			sessionExamples(b, 77100, 3, fitSessions...), plainExamples(b, 77200, 3),
		)
		reportFit(figures.To(b, "fit.txt"), slices.DeleteFunc(examples, func(x example) bool {
			return heldBack(x.class) || slices.Contains(ownRules, x.class)
		}))
	}
}

// reportFit fits the weights to examples and prints them and how well they do.
func reportFit(out io.Writer, examples []example) {
	kept, keptAll := weights, weightOfAll
	defer func() { weights, weightOfAll = kept, keptAll }()
	fit(examples)
	fmt.Fprintf(out, "%v\n%.3f, of all %.3f\n\n", EvidenceNames, weights, weightOfAll)
	fmt.Fprintf(out, "Each class left out of the fit\n\n")
	fmt.Fprint(out, heading)
	var given []chance
	for _, class := range classesOf(examples) {
		is := func(x example) bool { return x.class == class }
		fit(slices.DeleteFunc(slices.Clone(examples), is))
		f := figuresOf{}
		for _, x := range examples {
			if is(x) {
				f = f.with(x)
				given = append(given, chance{x.judged().Probability, x.exchange})
			}
		}
		fmt.Fprint(out, f.row(class))
	}
	fmt.Fprintf(out, "\nWhat was so given, and how often it was so if either is as likely before\n\n")
	reliability(out, given)
}

// fitSessions are classes of sessions that the fit learns from besides all warm-ups.
var fitSessions = []string{
	"leader-words", "applause", "talked-over", "one-answers", "call-chain", "next-door",
	"practising-alone", "nobody-answers",
}

// ownRules are classes told by a rule of their own: a leader's own repetition.
var ownRules = []string{"leader-repeats", "self-answer"}

// chance is a probability of call and response, and whether there was any.
type chance struct {
	given float64
	was   bool
}

// reliability prints bins of probabilities. Recordings with and without call and response count the
// same as a whole, as in the fit.
func reliability(out io.Writer, all []chance) {
	var sides [2]float64
	for _, c := range all {
		sides[side(c.was)]++
	}
	fmt.Fprintf(out, "%-12s %6s %6s %6s %6s\n", "bin", "n", "with", "given", "was")
	limits := []float64{0, 0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.98, 1.01}
	for i := range len(limits) - 1 {
		var n, with int
		var given, weight [2]float64
		for _, c := range all {
			if c.given >= limits[i] && c.given < limits[i+1] {
				n++
				with += side(c.was)
				weight[side(c.was)] += 1 / sides[side(c.was)]
				given[side(c.was)] += c.given / sides[side(c.was)]
			}
		}
		if n > 0 {
			sum := weight[0] + weight[1]
			fmt.Fprintf(out, "%4.2f to %4.2f %6d %6d %6.3f %6.3f\n", limits[i], min(1, limits[i+1]), n, with,
				(given[0]+given[1])/sum, weight[1]/sum)
		}
	}
}

func side(was bool) int {
	if was {
		return 1
	}
	return 0
}

// fit sets the weights. Where there is no exchange the best short stretch is what would be claimed,
// so that the fit begins anew with the best stretches of the weights before.
func fit(examples []example) {
	for range 3 {
		rows := rowsOf(examples)
		var sum [2]float64
		for _, r := range rows {
			sum[int(r.y)] += r.weight
		}
		for i := range rows {
			rows[i].weight *= sideWeight / sum[int(rows[i].y)]
		}
		weights, weightOfAll = logistic(rows)
	}
}

const (
	sideWeight = 150.0 // recordings that either side counts for
	ridge      = 1.0   // penalty on the square of a weight times the usual size of its value
)

var usualSize = [EvidenceCount]float64{0.5, 0.2, 4, 0.13, 0.07, 0.14, 0.24, 0.3, 1, 0.05, 0.1}

type row struct {
	x         [EvidenceCount]float64
	y, weight float64
}

// rowsOf are the whole recordings and shorter stretches of them.
func rowsOf(examples []example) []row {
	var out []row
	for _, x := range examples {
		y := float64(side(x.exchange))
		n := answers(x.digests)
		if n == 0 {
			continue
		}
		whole, _ := evidence(stretches(x.digests, n)[0])
		out = append(out, row{whole.Values(), y, 1})
		for _, size := range []int{2, 3, 4, 5, 6, 8, 12} {
			if size >= n {
				break
			}
			parts := stretches(x.digests, size)
			if x.exchange {
				step := max(1, len(parts)/3)
				for i := 0; i < len(parts); i += step {
					e, _ := evidence(parts[i])
					out = append(out, row{e.Values(), y, 0.15})
				}
				continue
			}
			slices.SortStableFunc(parts, func(a, b []digest) int {
				x, _ := evidence(a)
				y, _ := evidence(b)
				return -int(math.Copysign(1, x.Odds()-y.Odds()))
			})
			for _, part := range parts[:min(3, len(parts))] {
				e, _ := evidence(part)
				out = append(out, row{e.Values(), y, 0.3})
			}
		}
	}
	return out
}

// logistic is a logistic regression with a ridge, by Newton's method.
func logistic(rows []row) (w [EvidenceCount]float64, all float64) {
	const n = EvidenceCount + 1
	b := mat.NewVecDense(n, nil)
	for range 50 {
		h, g := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
		for _, r := range rows {
			z := append(r.x[:], 1)
			eta := 0.0
			for i, v := range z {
				eta += v * b.AtVec(i)
			}
			p := 1 / (1 + math.Exp(-eta))
			for i := range n {
				g.SetVec(i, g.AtVec(i)+r.weight*(r.y-p)*z[i])
				for j := i; j < n; j++ {
					h.SetSym(i, j, h.At(i, j)+r.weight*p*(1-p)*z[i]*z[j])
				}
			}
		}
		for i, size := range usualSize {
			k := ridge * size * size
			g.SetVec(i, g.AtVec(i)-k*b.AtVec(i))
			h.SetSym(i, i, h.At(i, i)+k)
		}
		h.SetSym(n-1, n-1, h.At(n-1, n-1)+1e-9)
		var c mat.Cholesky
		var step mat.VecDense
		if !c.Factorize(h) || c.SolveVecTo(&step, g) != nil {
			break
		}
		b.AddVec(b, &step)
	}
	for i := range w {
		w[i] = b.AtVec(i)
	}
	return w, b.AtVec(EvidenceCount)
}
