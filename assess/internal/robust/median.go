// Package robust is middles that a few wild values do not move.
package robust

import (
	"cmp"
	"slices"
)

// Median is the value in the middle, of an even number the mean of the two there; 0 for none. x is
// not changed.
func Median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(x))
	n := len(sorted)
	return (sorted[n/2] + sorted[(n-1)/2]) / 2
}

// Upper is the value in the middle, of an even number the larger of the two there, so that it is one
// of the values; zero for none. It sorts x.
func Upper[T cmp.Ordered](x []T) T {
	var none T
	if len(x) == 0 {
		return none
	}
	slices.Sort(x)
	return x[len(x)/2]
}
