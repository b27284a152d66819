package exchange

// Weights of the evidence in natural-log odds, in the order of EvidenceNames: logistic regression
// on reels of recorded sounds and on made-up warm-ups, printed by TestFit.
var weights = [EvidenceCount]float64{1.2, 1.6, 0.475, 9.9, -13.3, -15.7, 3.0}

var weightOfAll = -9.6

// What each round short of enoughRounds costs: among many accidental rounds a few neighbours look
// like an exchange.
const (
	enoughRounds = 4
	fewCosts     = 2.0
)
