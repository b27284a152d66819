package rank

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Ranks gives each value its place in the order, from 1; equal values share the mean of their
// places.
func Ranks(values []float64) []float64 {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case values[a] < values[b]:
			return -1
		case values[a] > values[b]:
			return 1
		}
		return 0
	})
	ranks := make([]float64, len(values))
	for from := 0; from < len(order); {
		to := from
		for to < len(order) && values[order[to]] == values[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			ranks[i] = float64(from+to+1) / 2
		}
		from = to
	}
	return ranks
}

// Spearman is the rank correlation with ties sharing ranks: the product-moment correlation of
// ranks. It is 0 where one side does not vary.
func Spearman(x, y []float64) float64 {
	rho := stat.Correlation(Ranks(x), Ranks(y), nil)
	if math.IsNaN(rho) {
		return 0
	}
	return rho
}

// KendallB is Kendall's tau-b: concordant minus discordant pairs, over the root of the product of
// the pairs untied in x and those untied in y. It is 0 where one side does not vary.
func KendallB(x, y []float64) float64 {
	var balance, untiedX, untiedY float64
	for i := range x {
		for j := range i {
			a, b := sign(x[i]-x[j]), sign(y[i]-y[j])
			balance += a * b
			untiedX += a * a
			untiedY += b * b
		}
	}
	if untiedX == 0 || untiedY == 0 {
		return 0
	}
	return balance / math.Sqrt(untiedX*untiedY)
}

func sign(v float64) float64 {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// AUC is the chance that a value of high is above one of low, ties counting half: the area under
// the receiver operating characteristic.
func AUC(low, high []float64) float64 {
	sum := 0.0
	for _, h := range high {
		for _, l := range low {
			sum += (1 + sign(h-l)) / 2
		}
	}
	return sum / float64(len(low)*len(high))
}
