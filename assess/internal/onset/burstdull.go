package onset

import "math"

// dullCandidates are attacks that are louder below 1 kHz than above: they may be single stamps, pats
// and drum strokes, too dull to stand out in the clap band.
func (a *Detail) dullCandidates() []unclustered {
	if len(a.Attacks) == 0 {
		return nil
	}
	powers := make([]float64, len(a.Attacks))
	for i, x := range a.Attacks {
		powers[i] = x.fullPower()
	}
	loud := strong(powers)
	var found []unclustered
	for _, x := range a.Attacks {
		if x.Low {
			found = append(found, unclustered{
				time: x.Time, power: x.Power * FrameSeconds / a.Kernel.early(),
				features: x.dullFeatures(decibels(x.fullPower() / loud)),
			})
		}
	}
	return found
}

// dullStrokes are those of the dull ones that are strokes and have none of the bursts beside them.
// Both are in order of time.
func dullStrokes(dull []unclustered, bursts []Burst, w *Weights) []Burst {
	var found []Burst
	for _, x := range dull {
		sure := w.confidence(DullKind, x.features)
		if sure >= leastConfidence && !besideAny(bursts, x.time) {
			found = append(found, Burst{Time: x.time, Power: x.power, Confidence: sure})
		}
	}
	return found
}

// besideAny reports whether a dull stroke is so close to one of the bursts, which are in order of time,
// that it is the same stroke.
func besideAny(bursts []Burst, time float64) bool {
	return anyWithin(bursts, time, besideBurst, func(Burst) float64 { return besideBurst })
}

// fullPower is Power with what sounds below 1 kHz.
func (x Attack) fullPower() float64 { return x.Power * (1 + math.Pow(10, x.Thump/10)) }

// dullFeatures are those of a [DullKind]; level is relative to the recording's strong strokes in dB.
func (x Attack) dullFeatures(level float64) []float64 { return []float64{1, x.Rise, level} }

// early is the share of a single clap's energy that an attack's Power holds.
func (k Kernel) early() float64 {
	return k.Direct + (1-k.Direct)*(1-math.Exp(-attackBody*FrameSeconds/max(k.Decay, clapDecay)))
}
