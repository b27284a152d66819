// Package interpolate reads functions from tables of their values at even steps on either side of
// zero: value i of n stands at (i − (n−1)/2)·step. Tables have at least three values, an odd number.
// Beyond its ends a function is taken as flat.
package interpolate

// Place is where x stands in a table with half steps on either side of zero: the index of the value
// below it, and how far x lies towards the next one, 0–1.
func Place(x, step float64, half int) (index int, fraction float64) {
	at := x/step + float64(half)
	if !(at > 0) {
		return 0, 0
	}
	if at >= float64(2*half) {
		return 2*half - 1, 1
	}
	index = int(at)
	return index, at - float64(index)
}

// At is the value at x, on a straight line between its neighbours.
func At(table []float64, step, x float64) float64 {
	i, f := Place(x, step, len(table)/2)
	return table[i] + f*(table[i+1]-table[i])
}

// Inverse is the x at which a table that rises has the value y: the inverse of At. A y outside of
// the table gives the table's end.
func Inverse(table []float64, step, y float64) float64 {
	half := len(table) / 2
	low, high := 0, len(table)-1
	if y <= table[low] {
		return -float64(half) * step
	}
	if y >= table[high] {
		return float64(half) * step
	}
	for high-low > 1 {
		middle := (low + high) / 2
		if table[middle] <= y {
			low = middle
		} else {
			high = middle
		}
	}
	f := (y - table[low]) / (table[high] - table[low])
	return (float64(low-half) + f) * step
}
