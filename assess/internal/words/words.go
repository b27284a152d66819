// Package words has the few turns of phrase that reports and pages share, so that a number is put
// into words in one way everywhere.
package words

import (
	"fmt"
	"math"
)

// nearlyAll is the share of people from which "nearly all" is said: a microphone can't tell the
// last few hands of a group.
const nearlyAll = 0.93

// AboutShare writes a share of people, 0 to 1, in steps of five per cent: "about 85 %", "nearly
// all", "next to nobody". A microphone can't count hands.
func AboutShare(share float64) string {
	percent := 5 * math.Round(20*share)
	switch {
	case share >= nearlyAll:
		return "nearly all"
	case percent < 5:
		return "next to nobody"
	}
	return fmt.Sprintf("about %.0f %%", percent)
}

// Chance writes a probability, 0 to 1, in whole per cent, never as certain: "82 %", "over 99 %",
// "under 1 %". What is read as three digits, as reports hold it, is written as what it was before:
// a half goes up wherever it is rounded.
func Chance(p float64) string {
	p = Rounded(p)
	switch {
	case p > 0.99:
		return "over 99 %"
	case p < 0.01:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", math.Floor(100*p+0.5+1e-9))
}

// Rounded is a chance as reports hold it, with three digits after the point. Whatever is said of a
// chance is said of this number, so that it is rounded once.
func Rounded(p float64) float64 { return math.Round(1000*p) / 1000 }

// Count writes a number of things: "1 round", "3 rounds".
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
