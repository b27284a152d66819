package response

import "math"

// Share is an estimate of who got the whole phrase.
type Share struct {
	Value float64 // may lie a little outside 0 to 1, where an error took it
	SD    float64 // standard error, as it counts for an estimate of the group
	Own   float64 // standard error of this answer alone

	// Mean and Variance of what is heard where the true share is p: polynomials in p, constant
	// first.
	Mean, Variance [3]float64
}

// share estimates who got the whole phrase.
func (a Amounts) share() Share {
	value := weigh(shareWeights[:], a.ShareFeatures())
	own := ShareError(value)
	return Share{
		Value: value, SD: Leaning * own, Own: own,
		Mean:     ReadingOf(readingMean[:], len(a.Notes)),
		Variance: ReadingOf(readingVariance[:], len(a.Notes)),
	}
}

// ReadingNames names the values of [ReadingFeatures].
var ReadingNames = []string{"one", "share", "share²", "length", "share · length"}

// ReadingFeatures are what mean and variance of the estimated share are weighted sums of where the
// true share is known. An estimate is the best guess of the share, so it keeps to the middle: what
// nobody got is heard as a quarter. And of a long phrase it is lower, because fewer people get
// those. What it says about the group is what it would say of any true share.
func ReadingFeatures(share float64, notes int) [5]float64 {
	length := math.Log(float64(notes) / 6)
	return [5]float64{1, share, share * share, length, share * length}
}

// ReadingOf are the coefficients in the true share that a table gives for a number of notes.
func ReadingOf(weights []float64, notes int) [3]float64 {
	length := math.Log(float64(notes) / 6)
	return [3]float64{weights[0] + weights[3]*length, weights[1] + weights[4]*length, weights[2]}
}

// weigh is the weighted sum.
func weigh(weights, features []float64) float64 {
	sum := 0.0
	for i, w := range weights {
		sum += w * features[i]
	}
	return sum
}

// ShareError is the standard error of one answer's estimated share: small where everybody clapped
// everything, largest in the middle.
func ShareError(share float64) float64 {
	f := ErrorFeatures(share)
	return math.Sqrt(max(weigh(shareVariance[:], f[:]), LeastShareError*LeastShareError))
}

// ErrorNames names the values of [ErrorFeatures].
var ErrorNames = []string{"one", "who did not", "share · who did not"}

// ErrorFeatures are what the variance of an estimated share is a weighted sum of.
func ErrorFeatures(share float64) [3]float64 {
	p := clamp01(share)
	return [3]float64{1, 1 - p, p * (1 - p)}
}

// participation estimates which share of the people clapped note i: at least those who got the
// phrase, but for a slip.
func (a Amounts) participation(i int, share float64) float64 {
	features := a.NoteFeatures(i, share)
	return clamp01(max(weigh(noteWeights[:], features), features[0]*share-Slips))
}

// extra estimates which share of the people clapped at extra i: nobody who got the phrase, but for
// a slip.
func (a Amounts) extra(i int, share float64) float64 {
	return clamp01(min(weigh(extraWeights[:], a.ExtraFeatures(i, share)), 1-share+Slips))
}
