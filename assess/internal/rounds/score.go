package rounds

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/activity"
)

// uneven is what it costs that notes of one kind, high as a clap or low as a stamp, do not sound
// alike.
func (p *pass) uneven(t *template, matched []int) float64 {
	var n, level, colour, thump [2]float64
	for _, k := range matched {
		if k >= 0 {
			i := kind(p.attacks[k])
			n[i], level[i] = n[i]+1, level[i]+p.level[k]
			colour[i], thump[i] = colour[i]+p.attacks[k].Colour, thump[i]+p.attacks[k].Thump
		}
	}
	cost, most := p.soundsCost(t, matched), unevenMost
	if p.leader.known {
		most = strokeUnevenMost
	}
	if !t.low {
		cost += oddKindCosts * min(n[0], n[1])
	}
	for _, k := range matched {
		if k >= 0 {
			i := kind(p.attacks[k])
			l := (p.level[k] - level[i]/n[i]) / levelSD
			c, t := (p.attacks[k].Colour-colour[i]/n[i])/colourSD, (p.attacks[k].Thump-thump[i]/n[i])/thumpSD
			cost += min(l*l/2, most) + min((c*c+t*t)/2, most/2)
		}
	}
	return cost
}

// missing is what it costs that no attack meets a note at the given time; near are everyone's claps
// around it. Once the leader's sound is known, only what is about as loud could have hidden a
// stroke.
func (p *pass) missing(near *activity.Near, at float64) float64 {
	if !p.leader.known {
		if near.Average(at-strokeBefore, at+strokeAfter) > maskedFrom {
			return noteMasked
		}
		return noteMissing
	}
	clap, full := p.strokeHeight(at)
	switch {
	case clap > maskedShare*p.leader.clap, full > maskedShare*p.leader.full:
		return noteMasked
	case full > maskedFrom && clap < maskedLow*full: // a stamp that was too dull for an attack
		return noteMasked
	}
	return strokeMissing
}

// strokeHeight is how high the activity of everyone stands where a stroke would be.
func (r *recording) strokeHeight(at float64) (clap, full float64) {
	from, to := at-strokeReach, at+strokeReach
	return r.everyone.clap.Highest(from, to), r.everyone.full.Highest(from, to)
}

// noteWorth is what an attack earns as a note on time. Once the leader's sound is known, what
// sounds like somebody else earns nothing.
func (p *pass) noteWorth(k int) float64 {
	odds := p.leader.odds[k]
	if p.leader.known && odds < 0 {
		return noteEarns + max(othersSlope*odds, -othersMost)
	}
	return noteEarns + clampOdds(odds)
}

// clampOdds bounds what the sound of one attack can say for or against the leader.
func clampOdds(odds float64) float64 { return max(-3, min(1, odds/2)) }

// strayCost is what an attack costs that no note meets: how likely it is the leader's, and how much
// louder than the call it is, dB. Once the leader's sound is known, no stroke is left out to make a
// phrase fit.
func (p *pass) strayCost(own, louder float64, tail bool) float64 {
	most := strayNoteCosts
	switch {
	case p.leader.known && tail:
		most = strayTailCosts
	case p.leader.known:
		most = strayStrokeCosts
	}
	return most * own / (1 + math.Exp(-(louder-strayHalf)/2))
}

// noteByNote is what an answer with notes at the given times earns, if all that the group does
// between two times belongs to it.
func noteByNote(c *activity.Activity, times []float64, from, to float64) float64 {
	heights := make([]float64, len(times))
	for i, t := range times {
		heights[i] = c.Highest(t-0.03, t+0.03)
	}
	strong := slices.Sorted(slices.Values(heights))[len(heights)*3/4]
	if strong <= 0 {
		return math.Inf(-1)
	}
	score := presenceEarns * max(0, min(1, (strong-presenceLeast)/(presenceFull-presenceLeast)))
	for _, h := range heights {
		score += hitEarns*min(1, h/strong) - noteCosts
	}
	for _, peak := range c.Peaks(from, to) {
		k, _ := slices.BinarySearch(times, peak.Time)
		near := math.Inf(1)
		for _, j := range []int{k - 1, k} {
			if j >= 0 && j < len(times) {
				near = min(near, math.Abs(times[j]-peak.Time))
			}
		}
		if near > strayReach {
			cost := strayCosts
			if k == 0 {
				cost = earlyCosts
			}
			score -= cost * min(1, peak.Height/strong)
		}
	}
	return score
}
