package ability

// logisticSD is the standard deviation of the standard logistic distribution,
// π/√3.
const logisticSD = 1.813799364234218

// gradedChances returns the chances of the categories 0…len(cuts) of a graded
// response model with discrimination a at trait x. Cuts rise. The result is
// written to dst, which has one element more than cuts, and sums to 1.
func gradedChances(dst []float64, x, a float64, cuts ...float64) []float64 {
	above := 1.0
	for k, cut := range cuts {
		next := logistic(a * (x - cut))
		dst[k] = above - next
		above = next
	}
	dst[len(cuts)] = above
	return dst
}

// verdictChance is the chance of a verdict when the share p of the group got
// the phrase and the judged share errs with standard deviation sd.
func verdictChance(v Verdict, p, sd float64) float64 {
	a := logisticSD / sd
	switch v {
	case Got:
		return logistic(a * (p - cutGot))
	case Lost:
		return logistic(a * (cutPartly - p))
	default:
		var chances [3]float64
		return gradedChances(chances[:], p, a, cutPartly, cutGot)[1]
	}
}
