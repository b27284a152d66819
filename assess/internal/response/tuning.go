package response

// Numbers fitted to made-up warm-ups of many kinds of people. All but Leaning are printed again,
// with how well they do on kinds left out, by
//
//	go run ./assess/internal/fithearing

// fullWeights weigh [FullFeatures].
var fullWeights = [2]float64{
	0.0456, // one
	0.8478, // total
}

// shareWeights weigh [Amounts.ShareFeatures].
var shareWeights = [25]float64{
	-0.0069, // one
	0.7599,  // mean note
	0.7139,  // weakest note
	-0.0584, // weakest third
	-0.0006, // SD of notes
	-0.2393, // root of largest extra
	0.4758,  // largest extra
	-0.1238, // root of next extra
	-0.2749, // root of all extras
	-0.1284, // spread
	-0.0652, // looser than usual
	-0.0834, // length
	0.1688,  // length²
	-0.0949, // eight and more
	0.0820,  // length · weakest
	0.0580,  // length · third
	-0.1065, // length · extras
	-0.0431, // length · spread
	-0.4275, // mean²
	0.0491,  // weakest²
	-0.5969, // weakest · extra
	0,       // more beside than usual
	0,       // off the beat
	0,       // places filled
	0,       // not as many claps as notes
}

// readingMean and readingVariance weigh [ReadingFeatures].
var readingMean = [5]float64{
	0.2562,  // one
	0.5219,  // share
	0.0855,  // share²
	-0.1289, // length
	-0.0081, // share · length
}

var readingVariance = [5]float64{
	0.0138,  // one
	0.0165,  // share
	-0.0186, // share²
	0.0030,  // length
	0.0016,  // share · length
}

// shareVariance weighs [ErrorFeatures]: the variance of the estimated share about the true one.
var shareVariance = [3]float64{
	0.0054, // one
	0.0068, // who did not
	0.1057, // share · who did not
}

// LeastShareError is the least standard error that is believed of an estimated share.
const LeastShareError = 0.06

// spreadWeights weigh [SpreadFeatures].
var spreadWeights = [3]float64{
	0.0203,  // one
	0.7515,  // own spread
	-0.4381, // looser than usual
}

// noteWeights weigh [Amounts.NoteFeatures].
var noteWeights = [13]float64{
	-0.0795, // anybody there
	-0.7886, // own energy
	0.0289,  // mean
	0.0067,  // least
	0.0082,  // most
	0.0476,  // note before
	0.0438,  // note after
	0.0104,  // lower quartile
	-0.2327, // median
	-0.0431, // upper quartile
	-0.1254, // spread
	0.3097,  // share
	1.8294,  // root of own energy
}

// extraWeights weigh [Amounts.ExtraFeatures].
var extraWeights = [7]float64{
	-0.0427, // own energy
	0.1515,  // own²
	0.0327,  // own · share
	0.0717,  // own · mean
	-0.5288, // own · spread
	0.4945,  // anybody there
	-0.3291, // anybody there · share
}

// Slips is the share of those who got a phrase that may leave out one note, or clap once too often.
// Common practice, no source.
const Slips = 0.03

// What the shares of one recording err in common, because each group goes wrong in its own way and
// the same people clap loudly in all of them, more rounds don't take away. CommonSD is what is left
// in the level, in tiers, set so that 90 % intervals hold it in nearly 90 % of the warm-ups of
// fithearing and chances come true as often as they say. An error for each recording that the
// plainest phrases would tell was tried, and did no better. Leaning is by how much the stated error
// of a share counts more than that of one answer where only that is known.
const (
	Leaning  = 1.1
	CommonSD = 0.5
)

// Tables are the fitted numbers as they are in use, by name, for who fits them anew.
func Tables() map[string][]float64 {
	return map[string][]float64{
		"spreadWeights": spreadWeights[:], "fullWeights": fullWeights[:],
		"shareWeights": shareWeights[:], "shareVariance": shareVariance[:],
		"readingMean": readingMean[:], "readingVariance": readingVariance[:],
		"noteWeights": noteWeights[:], "extraWeights": extraWeights[:],
	}
}
