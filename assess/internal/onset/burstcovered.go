package onset

import (
	"math"
	"sort"
)

// coveredClaps are single claps that noise covers so far that what is around them looks like no
// clap: attacks that have none of the bursts beside them. They must be surer than others.
func (a *Detail) coveredClaps(bursts []Burst) []Burst {
	if len(bursts) == 0 {
		return nil
	}
	powers := make([]float64, len(bursts))
	for i, b := range bursts {
		powers[i] = b.Power
	}
	loud := strong(powers)
	var found []Burst
	for _, x := range a.Attacks {
		if x.onlyLow || x.Low || x.clapContrast > coveredContrast || !a.swing.steady(x.Time) ||
			x.besideOne(bursts) || x.besideOne(found) {
			continue
		}
		power := x.Power * FrameSeconds / a.Kernel.early()
		sure := chance(a.clapEvidence(x).clapLogit(decibels(power/loud)) - coveredDoubt)
		if sure >= leastConfidence {
			found = append(found, Burst{Time: x.Time, Power: power, Confidence: sure})
		}
	}
	return found
}

// besideOne reports whether an attack is beside one of the bursts, which are in order of time.
func (x Attack) besideOne(bursts []Burst) bool {
	const farthest = besideGroup + 2*widestBurst
	from := sort.Search(len(bursts), func(i int) bool { return bursts[i].Time > x.Time-farthest })
	for _, b := range bursts[from:] {
		if b.Time >= x.Time+farthest {
			break
		}
		if x.beside(b) {
			return true
		}
	}
	return false
}

// beside reports whether an attack is so close to a burst that it is part of it.
func (x Attack) beside(b Burst) bool {
	near := besideBurst
	if b.Width > 0 {
		near = besideGroup + 2*b.Width
	}
	return math.Abs(b.Time-x.Time) < near
}
