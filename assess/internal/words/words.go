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

// Count writes a number of things: "1 round", "3 rounds".
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
