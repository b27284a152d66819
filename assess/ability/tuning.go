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

// What the leader calls says what they think of the group. Warm-ups begin with the plainest and end
// where it breaks, so the farther the calls reach, the farther the level lies above their mean: by
// about their standard deviation less 0.84 tiers, and never below the mean. So it is, to 0.03
// tiers, in the made-up warm-ups of fithearing and in 310 by another hand, with errors of 0.72 and
// 0.82 (0.98 and 0.92 where the level is taken to lie a fixed way above). Leaders differ, so the
// error is taken a little larger, and larger still for the first calls, which are plain for every
// group.
const (
	chosenShort   = 0.84 // tiers from the standard deviation of the calls to what it tells
	chosenSD      = 0.85 // tiers
	chosenFirstSD = 3.0  // tiers over the number of calls, in quadrature
	chosenHalf    = 4.0  // calls that halve what was believed before any
)

// A group met before may have moved. Other people turn up (attendanceSD, at
// once) and people learn or forget (driftSD after 90 days, as a random
// walk). Our choice, no source.
const (
	attendanceSD = 0.3
	driftSD      = 0.6
	driftDays    = 90.0
)
