// Package tierscale is the scale on which phrases, pieces and groups are placed: one unit is one
// tier and one logit, and the middle of tier t lies at difficulty t.
package tierscale

import "math"

// The ends of the scale. Nothing is placed beyond them.
const (
	Min     = 0.1  // tiers
	Max     = 20.5 // tiers
	Highest = 20   // the highest tier; the lowest is 1
)

// Tier is the tier of a difficulty: rounded, at least 1.
func Tier(difficulty float64) int { return max(1, int(math.Round(difficulty))) }

// Clamp moves a difficulty beyond an end of the scale to that end.
func Clamp(difficulty float64) float64 { return min(max(difficulty, Min), Max) }
