package history

import (
	"math"

	"clapladder.example/assess/ability"
)

// A long log is not estimated in full at every look: of the dates whose level is not kept, the
// latest are estimated as a warm-up is, older ones by a rougher sum that takes microseconds.
const exactDates = 24

// The rough sum takes steepness and spread as known. Middle values of what package ability believes
// before a warm-up.
const (
	quickSteepness = 1.15
	quickSpread    = 1.1 // tiers
	quickOutlier   = 0.05
	quickPeople    = 21.5
	quickSteps     = 20 // of Newton's method, at most
)

// quickShares are what a leader's words mean in shares.
var quickShares = map[ability.Verdict]float64{ability.Got: 0.88, ability.Partly: 0.5, ability.Lost: 0.12}

// quickSlope is the steepness of the share of a whole group against its level: the mean of a
// logistic over normal abilities is nearly a logistic again (MacKay 1992, Neural Computation 4,
// 720-736).
var quickSlope = quickSteepness / math.Sqrt(1+math.Pi*quickSteepness*quickSteepness*quickSpread*quickSpread/8)

// quick estimates a date roughly: the same model as package ability with one steepness and one
// spread, its likeliest level by Newton's method and its error from the curvature there. A round
// that fits badly counts as little as its chance of being what it seems.
func (s *Scale) quick(r Record, observations []ability.Observation) Point {
	people := quickPeople
	if r.People > 0 {
		people = float64(r.People)
	}
	calls := make([]float64, len(observations))
	for i, o := range observations {
		calls[i] = o.Difficulty
	}
	prior := s.prior.AfterCalls(calls)
	level, information := prior.Level, 0.0
	for range quickSteps {
		information = 1 / (prior.LevelSD * prior.LevelSD)
		pull := (prior.Level - level) * information
		for _, o := range observations {
			share, sd := quickShare(o)
			p := 1 / (1 + math.Exp(-quickSlope*(level-o.Difficulty)))
			heard, rise, measured := p, 1.0, sd*sd
			if o.Reading != nil {
				heard, rise, measured = o.Reading.At(p)
			}
			slope := rise * quickSlope * p * (1 - p)
			variance := measured + rise*rise*p*(1-p)/people + slope*slope*o.DifficultySD*o.DifficultySD
			sound := (1 - quickOutlier) * (1 - o.Doubt) *
				math.Exp(-(share-heard)*(share-heard)/(2*variance)) / math.Sqrt(2*math.Pi*variance)
			trust := sound / (sound + 1 - (1-quickOutlier)*(1-o.Doubt))
			information += trust * slope * slope / variance
			pull += trust * slope * (share - heard) / variance
		}
		step := min(max(pull/information, -1.5), 1.5)
		level += step
		if math.Abs(step) < 0.005 {
			break
		}
	}
	sd := math.Sqrt(1/information + quickSpread*quickSpread/people)
	return Point{
		Date: r.Date, Level: level, SD: sd, Low: level - normal95*sd,
		High: level + normal95*sd, Rounds: len(observations),
	}
}

func quickShare(o ability.Observation) (share, sd float64) {
	switch {
	case o.Verdict != ability.NoVerdict:
		return quickShares[o.Verdict], ability.DefaultVerdictSD
	case o.ShareSD == 0:
		return o.Share, ability.DefaultShareSD
	}
	return o.Share, o.ShareSD
}
