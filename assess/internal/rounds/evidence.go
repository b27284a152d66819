package rounds

import (
	"math"

	"clapladder.example/assess/internal/onset"
)

// Scores are natural-log odds against "these attacks are something else". Set on synthetic warm-ups of the tuning half.
const (
	noteEarns     = 2.6   // an attack where a note is expected
	noteMissing   = 9.0   // silence where a note is expected
	noteMasked    = 4.0   // no attack, but some sound
	maskedFrom    = 0.2   // activity from which a missing note may only be masked
	silentStart   = 1.5   // a phrase that begins with a rest is a rarer reading of the same claps
	strangerCosts = 4.0   // an attack of the leader where the phrase has none
	timingSD      = 0.018 // seconds
	levelSD       = 4.5   // dB
	colourSD      = 0.15
	thumpSD       = 5.0  // dB
	oddKindCosts  = 0.8  // a low stroke among high ones, or a high one among low ones, where the phrase has none
	tempoSD       = 0.14 // natural log, around the phrase's own tempo
	tempoHintSD   = 0.04
)

// uneven is what it costs that notes of one kind, high as a clap or low as a stamp, do not sound alike.
func (f *finder) uneven(t *template, matched []int) float64 {
	var n, level, colour, thump [2]float64
	for _, k := range matched {
		if k >= 0 {
			i := kind(f.attacks[k])
			n[i], level[i] = n[i]+1, level[i]+f.leader.level[k]
			colour[i], thump[i] = colour[i]+f.attacks[k].Colour, thump[i]+f.attacks[k].Thump
		}
	}
	cost := 0.0
	if !t.low {
		cost = oddKindCosts * min(n[0], n[1])
	}
	for _, k := range matched {
		if k >= 0 {
			i := kind(f.attacks[k])
			l := (f.leader.level[k] - level[i]/n[i]) / levelSD
			c, t := (f.attacks[k].Colour-colour[i]/n[i])/colourSD, (f.attacks[k].Thump-thump[i]/n[i])/thumpSD
			cost += min(l*l/2, 2) + min((c*c+t*t)/2, 1)
		}
	}
	return cost
}

// kind is 1 for an attack as low as a stamp or a pat, 0 for others.
func kind(a onset.Attack) int {
	if a.Low {
		return 1
	}
	return 0
}

// missing is what it costs that no attack meets a note at the given time.
func (f *finder) missing(at float64) float64 {
	if f.activity.average(at-0.02, at+0.03) > maskedFrom {
		return noteMasked
	}
	return noteMissing
}

// clampOdds bounds what the sound of one attack can say for or against the leader.
func clampOdds(odds float64) float64 { return max(-3, min(1, odds/2)) }

// tempoEarns is what it costs, negative, that a call is this much faster or slower than expected, as a natural logarithm.
func (f *finder) tempoEarns(off float64) float64 {
	off /= f.tempoSD
	return -min(off*off/2, 5)
}

// stranger is what an attack costs that no note meets: how likely it is the leader's, and how much louder than the call, dB.
func (f *finder) stranger(own, louder float64) float64 {
	return strangerCosts * own / (1 + math.Exp(-(louder+9)/2)) // 9 dB below the call's level it is half a stranger
}
