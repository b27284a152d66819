package response

// Numbers fitted to made-up warm-ups of many kinds of people. All but Leaning are printed again, with how well they do on
// kinds left out, by
//
//	go run ./assess/internal/fithearing

// shareWeights weigh [Amounts.ShareFeatures].
var shareWeights = [21]float64{
	0.0063,  // one
	0.8563,  // mean note
	0.6516,  // weakest note
	-0.1192, // weakest third
	0.0099,  // SD of notes
	-0.3130, // root of largest extra
	0.4746,  // largest extra
	-0.1094, // root of next extra
	-0.2563, // root of all extras
	-0.1393, // spread
	-0.0632, // looser than usual
	-0.0965, // length
	0.1528,  // length²
	-0.0832, // eight and more
	0.1147,  // length · weakest
	0.0305,  // length · third
	-0.1016, // length · extras
	-0.0587, // length · spread
	-0.4864, // mean²
	0.1187,  // weakest²
	-0.5514, // weakest · extra
}

// shareVariance weighs [ErrorFeatures]: the variance of the estimated share about the true one.
var shareVariance = [3]float64{
	0.0052, // one
	0.0073, // who did not
	0.1056, // share · who did not
}

// LeastShareError is the least standard error that is believed of an estimated share.
const LeastShareError = 0.06

// spreadWeights weigh [SpreadFeatures].
var spreadWeights = [3]float64{
	0.0199,  // one
	0.7473,  // own spread
	-0.4295, // looser than usual
}

// noteWeights weigh [Amounts.NoteFeatures].
var noteWeights = [13]float64{
	-0.0054, // anybody there
	-0.7294, // own energy
	-0.0059, // mean
	0.0166,  // least
	0.0209,  // most
	0.0509,  // note before
	0.0489,  // note after
	0.0197,  // lower quartile
	-0.2016, // median
	-0.0698, // upper quartile
	-0.1256, // spread
	0.3075,  // share
	1.6970,  // root of own energy
}

// extraWeights weigh [Amounts.ExtraFeatures].
var extraWeights = [7]float64{
	-0.0786, // own energy
	0.1684,  // own²
	0.1545,  // own · share
	0.0474,  // own · mean
	-0.5319, // own · spread
	0.5129,  // anybody there
	-0.3653, // anybody there · share
}

// Slips is the share of those who got a phrase that may leave out one note, or clap once too often. Common practice, no
// source.
const Slips = 0.03

// What the shares of one recording err in common, because each group goes wrong in its own way and the same people clap
// loudly in all of them, more rounds don't take away. Leaning is by how much the error of a share counts more than that of
// one answer, CommonSD what is left in the level, in tiers. Set so that 90 % intervals hold the level in nearly 90 % of
// the warm-ups of fithearing, and chances come true as often as they say.
const (
	Leaning  = 1.1
	CommonSD = 0.6
)

// Tables are the fitted numbers as they are in use, for who fits them anew.
func Tables() (spread, share, variance, notes, extras []float64) {
	return spreadWeights[:], shareWeights[:], shareVariance[:], noteWeights[:], extraWeights[:]
}
