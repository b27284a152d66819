package response

// Numbers fitted to made-up warm-ups of many kinds of people. All but Leaning are printed again,
// with how well they do on kinds left out, by
//
//	go run ./assess/internal/fithearing

// fullWeights weigh [FullFeatures].
var fullWeights = [2]float64{
	0.0466, // one
	0.8269, // total
}

// shareWeights weigh [Amounts.ShareFeatures].
var shareWeights = [25]float64{
	0.1991,  // one
	0.4021,  // mean note
	0.4353,  // weakest note
	-0.0260, // weakest third
	0.0625,  // SD of notes
	-0.2863, // root of largest extra
	0.3791,  // largest extra
	-0.1527, // root of next extra
	-0.2538, // root of all extras
	0.0090,  // spread
	-0.0860, // looser than usual
	-0.1370, // length
	0.1724,  // length²
	-0.0924, // eight and more
	0.2253,  // length · weakest
	-0.0318, // length · third
	-0.1165, // length · extras
	-0.0637, // length · spread
	-0.3048, // mean²
	0.1796,  // weakest²
	-0.4710, // weakest · extra
	0.4177,  // more beside than usual
	0.1513,  // off the beat
	-0.0772, // places filled
	-0.1918, // not as many claps as notes
}

// readingMean and readingVariance weigh [ReadingFeatures].
var readingMean = [5]float64{
	0.2647,  // one
	0.4870,  // share
	0.1168,  // share²
	-0.1313, // length
	-0.0045, // share · length
}

var readingVariance = [5]float64{
	0.0129,  // one
	0.0178,  // share
	-0.0191, // share²
	0.0029,  // length
	0.0011,  // share · length
}

// shareVariance weighs [ErrorFeatures]: the variance of the estimated share about the true one.
var shareVariance = [3]float64{
	0.0048, // one
	0.0065, // who did not
	0.0990, // share · who did not
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
	-0.4996, // anybody there
	-1.0281, // own energy
	-0.0102, // mean
	0.0183,  // least
	0.0073,  // most
	0.0502,  // note before
	0.0424,  // note after
	0.0048,  // lower quartile
	-0.1274, // median
	0.0227,  // upper quartile
	-0.1016, // spread
	0.3189,  // share
	2.3293,  // root of own energy
}

// extraWeights weigh [Amounts.ExtraFeatures].
var extraWeights = [7]float64{
	-0.0340, // own energy
	0.1638,  // own²
	-0.0171, // own · share
	0.1031,  // own · mean
	-0.5536, // own · spread
	0.4854,  // anybody there
	-0.2960, // anybody there · share
}

// Slips is the share of those who got a phrase that may leave out one note, or clap once too often.
// Common practice, no source.
const Slips = 0.03

// What the shares of one recording err in common, because each group goes wrong in its own way and
// the same people clap loudly in all of them, more rounds don't take away. CommonSD is what is left
// in the level, in tiers, set so that 90 % intervals hold it in nearly 90 % of recordings of other
// people and rooms than those of fithearing, where it is a little wide: with 0.5 they held it in 84
// % of 123, with 0.6 in 87 %, and the chances of tiers were as good. An error for each recording
// that the plainest phrases would tell was tried, and did no better. Leaning is by how much the
// stated error of a share counts more than that of one answer where only that is known.
const (
	Leaning  = 1.1
	CommonSD = 0.6
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
