package exchange

// Weights of the evidence in natural-log odds, in the order of EvidenceNames: logistic regression
// on reels of recorded sounds and on made-up warm-ups, printed by TestFit.
var weights = [EvidenceCount]float64{1.33, 2.04, 0.434, 9.6, -15.7, -16, 3.27}

var weightOfAll = -9.67

// What each round short of enoughRounds costs: among many accidental rounds a few neighbours look
// like an exchange.
const (
	enoughRounds = 4
	fewCosts     = 2.0
)

// What it costs that calls and answers differ in little but their level, for each unit of log odds
// short of againOdds: then one person plays a phrase again.
const (
	againOdds  = 4.0
	againCosts = 2.0
)
