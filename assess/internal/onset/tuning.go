package onset

// The numbers that were chosen by trying, in one place. Each was moved until the tables of
//
//	go test -run '^$' -bench 'Onsets|Recorded' -benchtime 1x ./assess/internal/onset
//
// got no better on the tuning half of the made-up warm-ups; those benches print what they give on
// the other half. What follows from physics or from the format of the data stands where it is used.

// Background of a band, see newFloor.
const (
	floorBlock   = FrameRate / 2 // frames that give one value: half a second
	floorReach   = 6             // blocks on each side that are compared
	floorShare   = 0.2           // quantile of the frames of a block: sounds fill less than the rest
	lowestBlocks = 0.25          // quantile of the blocks: a phrase without a pause is no background
	silentPower  = 1e-12         // −120 dB: digital silence is no background
)

// Attacks of single claps, see detector.
const (
	attackHold     = 12    // frames: an attack is the largest rise within this reach (24 ms)
	attackPast     = 6     // frames before a rise that it is measured against
	attackRise     = 4.5   // dB, least mean rise over the bands
	risenEnough    = 4.0   // dB in one band; two bands must rise
	riseCeiling    = 24.0  // dB that one band counts at most
	attackBody     = 6     // frames whose power counts as the direct sound (12 ms)
	quietAttack    = 42.0  // dB below the loudest attacks: not heard as part of the game
	loudQuantile   = 0.995 // of the attacks' powers: the loudest, but for a few knocks
	bandUnused     = 1e-5  // power relative to the middle band: less is no sound (an 8 kHz phone)
	lowWeight      = 0.6   // of the low band in the mean rise: talk rises there too
	floorAllowance = 2.0   // times the background that noise itself swings up to
	lowLouder      = 3.0   // dB of the low band over the clap band: a stamp or a pat, not a cupped clap
)

// Stamps and pats, which hardly sound above 1 kHz, see lowAttacks. Talk begins in the low band too,
// but not as fast and not over as soon.
const (
	lowRise          = 8.0  // dB within two frames
	lowFactor        = 6    // a little less, as a factor: the logarithm is expensive
	lowContrast      = 8.0  // dB
	lowConcentration = 0.22 // share in 10 ms: a syllable holds on for a tenth of a second
	struckFactor     = 1000 // within two frames: a drum that rings on begins as no voice does,
	struckContrast   = 30.0 // dB, out of quiet,
	struckShare      = 0.2  // and is there at once, of what it reaches
	struckReach      = 10   // frames later
	drumFew          = 3    // struck strokes that show how a drum sounds,
	drumLevel        = 8.0  // dB that another of its strokes may lie off them,
	drumThump        = 5.0  // dB,
	drumColour       = 0.1  // share above 3 kHz
	lowApart         = 20   // frames: closer to an attack of the clap band it is the same stroke
)

// Decay of the room, see roomKernel.
const (
	decayFrom      = 10    // frames after an attack where its own sound is over
	decayTo        = 90    // frames: 180 ms
	decayFew       = 12    // frames that make a slope
	decayClear     = 9.0   // dB of contrast of an attack that shows the room
	decayFewClaps  = 3     // slopes that make a median
	decayDefault   = 0.045 // seconds: RT60 0.6 s, a furnished room
	directDefault  = 0.5   // share
	decayLeast     = 0.012 // RT60 0.17 s: smaller is outdoors
	decayMost      = 0.22  // RT60 3 s
	tailAboveFloor = 4.0   // times the background that a tail is followed down to
)

// aboveFloor is how many times the background does not count as clapping, see [Analysis.Activity].
const aboveFloor = 3.0

// Noise in the activity, see noiseOf.
const (
	noiseBlock = 100 // steps that give one value: a second
	noiseShare = 0.5 // quantile of a block: claps fill less than half of it
	noiseReach = 3   // blocks on either side
	noiseAmong = 0.3 // quantile of the blocks
	noiseTimes = 0.6 // that do not count in the activity
)

// How the level swings, see swing. Levels are of 0.12 s; blocks are of steps of the activity.
const (
	burstSteps = 12   // steps that a level is of
	swingUsual = 0.4  // quantile that is the usual level: claps and their tails fill the upper half
	swingCalm  = 0.1  // quantile that one swing lies below it
	swingBlock = 100  // a second
	swingReach = 4    // blocks on either side
	swingAmong = 0.5  // quantile of the blocks
	swingLeast = 0.3  // dB that one swing has at least
	swingBase  = 9.0  // dB over the background that what does not stand out counts as
	swingEach  = 3.5  // dB for each swing above the usual level
	swingMost  = 21.0 // dB
)

// Clusters of claps, see newClusters.
const (
	clusterTight  = 0.030 // smoothing in seconds, about the spread of a group's claps
	clusterLoose  = 0.040 // the same for a group that claps far apart
	clusterValley = 0.75  // a dip that is shallower than this does not part two clusters
	clusterFar    = 0.92  // the same where the tops are farther apart than one burst is wide
	clusterNear   = 4.4   // smoothings between tops: farther is far
	clusterReach  = 5.0   // smoothings on either side of its top that a cluster claims at most
	clusterLeast  = 0.12  // height over that of the strong ones
	looseWidth    = 0.043 // seconds, median width of bursts from where clusterLoose keeps them whole
	looseFew      = 5     // bursts that make that median
)

// Single claps within a cluster, see clusters.singles.
const (
	clapTogether = 0.55  // share of a cluster's energy that its sharp attacks hold if they are all there is
	clapShare    = 0.15  // share of one of several claps
	clapsApart   = 0.065 // seconds
	clapMost     = 3
)

// widestBurst is the largest spread of a burst in seconds: more is not one clap.
const widestBurst = 0.085

// The burst of a group, see fitter. A group sits farther away than the claps that the kernel was
// measured on, so less of its sound is direct and more of it is the room: shares of direct sound
// and multiples of the kernel's decay that are tried.
var (
	fitSpreads = [...]float64{ // seconds, standard deviation of clap times
		0, 0.004, 0.008, 0.012, 0.017, 0.023, 0.03, 0.038, 0.047, 0.057, 0.07, widestBurst,
	}
	groupDirect = [...]float64{0.6, 0.35, 0.2, 0.1, 0.05}
	groupDecay  = [...]float64{1, 1.25, 1.5}
)

const (
	fitSingle = 0.06  // seconds of sound after a single clap that measure its power
	fitCoarse = 0.006 // seconds between centres tried
	fitFine   = 0.001
	fitReach  = 0.06 // seconds that the centre may lie from the top of the cluster
	fitBin    = 3    // frames taken together: less to compute, and less noise
)

// Which bursts are listed.
const (
	leastConfidence = 0.5
	besideBurst     = 0.06 // seconds: closer to a burst a dull stroke is the same stroke
	besideGroup     = 0.1  // seconds, and twice its width: closer to a group's burst it is one of them
	shortestGap     = 0.05 // seconds: nobody claps faster, and what is closer is one burst heard twice
	strongQuantile  = 0.9  // of the bursts' powers: what the level of a burst is relative to
)

// The weights of the evidence for a burst, see [Weights]. Those of one person's claps and of dull
// strokes are logistic regressions on made-up recordings of rooms, groups, phones, and of what is no
// clap. They are printed again, with how well all do on classes left out, by
//
//	go run ./assess/internal/fithearing -warmups 0

// clapWeights are those of one person's claps.
var clapWeights = [4]float64{
	2.1057,   // one
	0.4678,   // rise, dB
	0.3828,   // level, dB
	-42.3998, // scrape
}

// groupWeights are those of a group's, in round figures that are set and not fitted: a regression like
// the others, on the same recordings, lists two to three times as many syllables of loud talk as bursts
// (bench Onsets, babble) and finds no more of the groups' claps.
var groupWeights = [6]float64{
	-6.25, // one: even is a burst 12.5 dB over the background that is as strong as the strong ones;
	0.1,   // sharpest rise, dB: hardly tells, for talk has rises of 5 to 9 dB as groups do
	0.5,   // over the background, dB: what tells most
	0.4,   // level, dB: a burst 10 dB weaker must stand out 8 dB more,
	-20,   // dull: one that lacks a tenth of the usual share above 3 kHz, 4 dB more,
	-60,   // wide, s: one wider by a hundredth of a second, a good 1 dB more
}

// dullWeights are those of one person's stamps and pats.
var dullWeights = [3]float64{
	5.4165, // one
	0.1566, // rise, dB
	0.4980, // level, dB
}

// What makes a sound thin, dull or wide. Tried; the fit leaves them as they are.
const (
	scrapeFrom = 0.6   // share above 3 kHz that hands reach
	scrapeMost = 0.15  // above it: a very sharp sound may still be a clap
	thinFrom   = -6.0  // dB of the low band over the clap band: lower is thin,
	thinFull   = -12.0 // fully so from here
	dullColour = 0.35  // share above 3 kHz below which a sound is dull, at most
	dullUsual  = 0.85  // of the recording's usual one
	wideBurst  = 0.05  // seconds: wider is hardly a clap
)

// Claps that noise covers, see coveredCandidates.
const (
	coveredContrast = 12.0 // dB: a clap that stands out more is not covered
	swingSteady     = 1.5  // dB that steady noise, as a crowd's, swings by at most
	coveredDoubt    = 1.0  // logit by which a clap that noise covers must be surer, tried on recorded crowds
)

// The attack-weighted time, see [Analysis.AttackTime]; tried on recorded claps in rooms.
const (
	attackTimeReach  = 0.05 // seconds on either side
	attackTimePast   = 3    // frames that a rise must top
	attackTimePower  = 0.3  // of the power that rises: a fifth of the power counts 0.6 times as much
	attackTimeRounds = 4    // times that the window is moved to the mean
)

// Echoes of a wall, see [Analysis.Echoes]; a stroke of hands lies off its place by 5 ms and more,
// an echo by less than a frame. Set on made-up warm-ups in a courtyard.
const (
	echoContrast  = 15.0  // dB: strokes out of quiet,
	echoDense     = 0.2   // of a single source, show it
	echoFew       = 8     // of them
	echoSoonest   = 0.07  // seconds: the wall is 12 m away,
	echoLatest    = 0.7   // or 120 m
	echoFainter   = 3.0   // dB than what it answers, and
	echoFaintest  = 30.0  // no more than this
	echoBin       = 0.002 // seconds
	echoCandidate = 0.2   // of the strokes have one
	echoShare     = 0.6   // of those after which nothing covers it
	echoCovered   = 0.06  // seconds before it that something may ring on from
	echoAfter     = 0.01  // seconds after it that may hide it
)
