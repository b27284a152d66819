package onset

// coveredCandidates are attacks in steady noise that may cover a clap so far that what is around it
// looks like none.
func (a *Detail) coveredCandidates() []unclustered {
	var found []unclustered
	for _, x := range a.Attacks {
		if x.onlyLow || x.Low || x.clapContrast > coveredContrast || !a.swing.steady(x.Time) {
			continue
		}
		found = append(found, unclustered{
			time: x.Time, power: x.Power * FrameSeconds / a.Kernel.early(), evidence: x.clapEvidence(),
		})
	}
	return found
}

// coveredClaps are single claps that noise covers: attacks that have none of the bursts, which are
// in order of time, beside them. They must be surer than others.
func coveredClaps(covered []unclustered, bursts []Burst, w *Weights) []Burst {
	if len(bursts) == 0 {
		return nil
	}
	powers := make([]float64, len(bursts))
	for i, b := range bursts {
		powers[i] = b.Power
	}
	loud := strong(powers)
	var found []Burst
	for _, x := range covered {
		if besideOne(bursts, x.time) || besideOne(found, x.time) {
			continue
		}
		features := x.evidence.clapFeatures(decibels(x.power / loud))
		sure := chance(w.logit(ClapKind, features) - coveredDoubt)
		if sure >= leastConfidence {
			found = append(found, Burst{Time: x.time, Power: x.power, Confidence: sure})
		}
	}
	return found
}

// besideOne reports whether an attack is so close to one of the bursts that it is part of it.
func besideOne(bursts []Burst, time float64) bool {
	return anyWithin(bursts, time, besideGroup+2*widestBurst, func(b Burst) float64 {
		if b.Width > 0 {
			return besideGroup + 2*b.Width
		}
		return besideBurst
	})
}
