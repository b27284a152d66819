package exchange

import "math"

// Weights of the evidence in natural-log odds, in the order of EvidenceNames, and what belongs to
// all: logistic regression on reels of recorded sounds and on made-up warm-ups, which BenchmarkFit
// prints.
var (
	weights     = [EvidenceCount]float64{1.64, 2.54, 0.325, 12.65, -15.1, -15.6, 4.17}
	weightOfAll = -10.9
)

// Evidence of one kind counts up to a point. Set with the fit.
const (
	manyRounds = 16.0 // rounds: a loop goes on for as long as it likes
	oddsMost   = 3.0  // log odds of one trait of one round
	gainMost   = 0.4  // a machine repeats itself more exactly than any group
	gainMiddle = 0.15 // where all calls are of one rhythm, nothing is known of the gain: half way
	gainDoubt  = 1.0  // rounds' worth of that
)

// leastSpread is the least spread of a trait between rounds, in its own unit: nobody claps more
// evenly, and a room changes that much with where people stand. spreadPrior is how many rounds'
// worth of twice that are believed before any is heard.
var leastSpread = traits{level: 1.5, thump: 2, focus: 0.4, width: 0.25, colour: 0.6}

const spreadPrior = 2.0

// doubt is how much likelier than not, as a logit, call and response must be before it counts as
// likely as not: four to one, for a tier that is stated of hammering is worse than one that is not
// stated. The least sure of 123 warm-ups of recorded sound in rooms lies at eight to one.
const doubt = 2 * math.Ln2

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
