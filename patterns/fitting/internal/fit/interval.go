package fit

import (
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"

	"clapladder.example/patterns/fitting/internal/rank"
)

// Interval is a 90 per cent percentile bootstrap interval of a statistic of n cases: of 2000
// resamples with replacement, the 5th and 95th percentile. The seed is fixed.
func Interval(n int, statistic func(cases []int) float64) (low, high float64) {
	const resamples = 2000
	random := rand.New(rand.NewPCG(1, 2))
	values := make([]float64, resamples)
	cases := make([]int, n)
	for i := range values {
		for k := range cases {
			cases[k] = random.IntN(n)
		}
		values[i] = statistic(cases)
	}
	slices.Sort(values)
	return stat.Quantile(0.05, stat.Empirical, values, nil), stat.Quantile(0.95, stat.Empirical, values, nil)
}

// SpearmanInterval is the bootstrap interval of [rank.Spearman] over pairs.
func SpearmanInterval(x, y []float64) (low, high float64) {
	return Interval(len(x), func(cases []int) float64 {
		a, b := make([]float64, len(cases)), make([]float64, len(cases))
		for i, c := range cases {
			a[i], b[i] = x[c], y[c]
		}
		return rank.Spearman(a, b)
	})
}
