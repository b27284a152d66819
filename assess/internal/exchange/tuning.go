package exchange

// Weights of the evidence in natural-log odds, in the order of EvidenceNames, and what belongs to
// all: logistic regression on reels of recorded sounds, two people who strike in turn among them,
// and on made-up warm-ups. Recordings with and without call and response count the same as a whole,
// so that they are as likely before anything is heard. BenchmarkFit prints them, and how they do on
// each class left out.
var (
	weights = [EvidenceCount]float64{
		-0.309, 1.341, 0.424, 5.785, -15.097, -0.442, 1.579, -1.976, 1.454, -19.513, -12.157,
	}
	weightOfAll = -5.803
)

// Evidence of one kind counts up to a point. Set with the fit.
const (
	manyRounds = 16.0 // rounds: a loop goes on for as long as it likes
	oddsMost   = 3.0  // log odds of one trait of one round
	gainMost   = 0.4  // a machine repeats itself more exactly than any group
	gainMiddle = 0.15 // where all calls are of one rhythm, nothing is known of the gain: half way
	gainDoubt  = 1.0  // rounds' worth of that
	sureMost   = 5.0  // logit that a round was called as stated
	sureBefore = 2.0  // that logit before any round is heard, and
	surePrior  = 2.0  // how many rounds' worth that is

	pauseMost   = 0.25 // beats or seconds that a pause counts as off the usual one
	pauseBefore = 0.1  // that distance of one round more
)

// leastSpread is the least spread of a trait between rounds, in its own unit: nobody claps more
// evenly, and a room changes that much with where people stand. spreadPrior is how many rounds'
// worth of twice that are believed before any is heard.
var leastSpread = traits{level: 1.5, thump: 2, focus: 0.4, width: 0.25, colour: 0.6}

const spreadPrior = 2.0

// What each round short of enoughRounds costs: among many accidental rounds a few neighbours look
// like an exchange.
const (
	enoughRounds = 4
	fewCosts     = 2.5
)

// What it costs that calls and answers differ in little but their level, for each unit of log odds
// short of againOdds: then one person plays a phrase again.
const (
	againOdds  = 4.0
	againCosts = 2.0
)

// What it costs that one person answers from where the calls come from, for each unit short of
// placeApart: then it is the caller. Made-up pupils who stand elsewhere differ by 0.4 and more,
// callers who answer themselves, with other hands too, by up to 0.25 (BenchmarkReels prints the
// classes).
const (
	placeApart = 0.35
	placeCosts = 60.0
)

// Limits of stretches.
const (
	believed   = 0.0 // log odds from which a stretch is call and response
	mostRounds = 80  // a stretch is looked at as one up to this many calls
	roundCosts = 1.5 // log odds above which a round is worth having in a stretch

	// What a round at an end of a stretch must have to be of its two sources, in log odds: this
	// much, and this share of what the stretch's rounds usually have. A group that plays on by
	// itself has about half.
	sourceCosts = 3.0
	sourceShare = 0.6
	endsDoubt   = 4.0 // rounds at an end are given up only where they lack more than this together
)
