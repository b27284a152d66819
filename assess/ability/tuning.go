package ability

// Numbers of the estimate that were chosen or fitted. Those marked "fitted" are printed again, with
// how well they do, by
//
//	go run ./assess/internal/fithearing

// The belief about a group nobody has met.
const (
	// usualLevelSD is the standard deviation of the level of a group nobody
	// has met, in tiers.
	usualLevelSD = 2.0
	// usualSpread and DefaultSpreadSigma describe the lognormal prior
	// of the spread of people within a group: median in tiers, standard
	// deviation of the logarithm. 90 % of groups lie between 0.5 and 1.9 tiers.
	usualSpread      = 1.0
	usualSpreadSigma = 0.4

	// The discrimination is lognormal and cut to 0.8–2. Two rhythm tests published
	// as item-response models came out at 0.93 and 1.65 (Harrison & Müllensiefen
	// 2018, refitted on their open data); the median is their geometric mean.
	discriminationMedian = 1.24
	discriminationSigma  = 0.25
)

// What the leader calls says what they think of the group: the level lies about
// four fifths of a tier above the mean of the calls, because warm-ups begin with the plainest and
// end where it breaks: by 0.92 in the made-up warm-ups of fithearing, by 0.66 in those of another
// hand, with an error of 0.95 in both. Leaders differ, so the error is as large as one tier for a whole
// warm-up, and larger for the first calls, which are plain for every group.
const (
	chosenAbove   = 0.8 // tiers from the mean of the calls to the level
	chosenSD      = 1.0 // tiers
	chosenFirstSD = 3.0 // tiers over the number of calls, in quadrature
	chosenHalf    = 4.0 // calls that halve what was believed before any
)

// A group met before may have moved. Other people turn up (attendanceSD, at
// once) and people learn or forget (driftSD after 90 days, as a random
// walk). Our choice, no source.
const (
	attendanceSD = 0.3
	driftSD      = 0.6
	driftDays    = 90.0
)
