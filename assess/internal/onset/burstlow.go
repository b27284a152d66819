package onset

import (
	"math"
	"slices"
)

// lowStrokes are single stamps, pats and drum strokes that are too dull to stand out in the clap
// band: attacks that are louder below 1 kHz and have none of the bursts beside them. Both are in
// order of time.
func (a *Detail) lowStrokes(bursts []Burst) []Burst {
	var dull []Attack
	powers := make([]float64, 0, len(a.Attacks))
	for _, x := range a.Attacks {
		powers = append(powers, x.fullPower())
		beside := func(b Burst) bool { return math.Abs(b.Time-x.Time) < besideBurst }
		if x.Low && !slices.ContainsFunc(bursts, beside) {
			dull = append(dull, x)
		}
	}
	if len(dull) == 0 {
		return nil
	}
	loud := strong(powers)
	var found []Burst
	for _, x := range dull {
		if sure := x.lowConfidence(decibels(x.fullPower() / loud)); sure >= leastConfidence {
			power := x.Power * FrameSeconds / a.Kernel.early()
			found = append(found, Burst{Time: x.Time, Power: power, Confidence: sure})
		}
	}
	return found
}

// fullPower is Power with what sounds below 1 kHz.
func (x Attack) fullPower() float64 { return x.Power * (1 + math.Pow(10, x.Thump/10)) }

// fullLevel is the same in dB.
func (x Attack) fullLevel() float64 { return decibels(x.fullPower()) }

// lowConfidence tells stamps from syllables and knocks; level is relative to the recording's strong
// strokes in dB.
func (x Attack) lowConfidence(level float64) float64 {
	return 1 / (1 + math.Exp(-(lowBase + lowRiseLogit*x.Rise + lowLevel*level)))
}

// early is the share of a single clap's energy that an attack's Power holds.
func (k Kernel) early() float64 {
	return k.Direct + (1-k.Direct)*(1-math.Exp(-attackBody*FrameSeconds/max(k.Decay, clapDecay)))
}
