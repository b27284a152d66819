package ability

import "math"

// Share returns the share of the group expected to manage a phrase of exactly
// the given difficulty, 0–1.
func (p *Posterior) Share(difficulty float64) float64 {
	sum := 0.0
	table := curves()
	for r := range table {
		row, from := p.row(r)
		for i, w := range row {
			sum += w * table[r].shareAt(p.level(from+i)-difficulty)
		}
	}
	return sum
}

// ChanceManaged returns the chance that at least the given share of the group
// (0–1) manages a phrase whose difficulty is known with standard deviation sd.
func (p *Posterior) ChanceManaged(difficulty, sd, comfort float64) float64 {
	if !(sd > 0) {
		sd = 0
	}
	errors := kernel(min(sd, 5))
	reach := len(errors) / 2
	chance := 0.0
	table := curves()
	for r := range table {
		row, from := p.row(r)
		// A cell manages it if its level minus the difficulty is at least edge.
		edge := table[r].distance(comfort) + difficulty
		for i, w := range row {
			if w == 0 {
				continue
			}
			above := (p.level(from+i)-edge)/levelStep + 0.5 // share of the cell above the edge
			for j, k := range errors {
				chance += w * k * min(max(above-float64(j-reach), 0), 1)
			}
		}
	}
	return min(chance, 1)
}

// tierChances returns, for the tiers 0 to highest, the chance that the comfort
// tier is exactly that one: that at least the share comfort of the group manages
// a phrase in the middle of the tier, and of no higher one. Tier 0 lies below
// the bank, the highest includes everything above. The sum is 1.
func (p *Posterior) tierChances(highest int, comfort float64) []float64 {
	highest = max(highest, 0)
	out := make([]float64, highest+1)
	table := curves()
	for r := range table {
		row, from := p.row(r)
		edge := table[r].distance(comfort)
		for i, w := range row {
			// The comfort point of the cell, the difficulty that exactly the share
			// comfort manages, covers one step of levels; it may cross a tier's edge.
			low := p.level(from+i) - edge - levelStep/2
			tier := math.Floor(low + levelStep)
			over := min((low+levelStep-tier)/levelStep, 1)
			out[clampTier(tier, highest)] += w * over
			out[clampTier(tier-1, highest)] += w * (1 - over)
		}
	}
	return out
}

func clampTier(tier float64, highest int) int {
	return int(min(max(tier, 0), float64(highest)))
}

// likeliestTier is the tier with the highest chance, given the chances of the
// tiers from 0 up; of equals the lower, which is the safer to play.
func likeliestTier(chances []float64) int {
	best := 0
	for tier, chance := range chances {
		if chance > chances[best] {
			best = tier
		}
	}
	return best
}
