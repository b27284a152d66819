package view

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess"
)

func TestACallCloseToAPhraseIsSaidToBeSo(t *testing.T) {
	for want, c := range map[string]assess.CloseTo{
		"close to Stand by, pull: you clapped one more at the and of 2": {
			Phrase: "stand-by",
			Name:   "Stand by, pull", Difference: "more", Bar: 1, Beat: 2.5,
		},
		"close to gangway: you clapped one less on 3 in bar 2": {
			Phrase:     "gangway",
			Difference: "less", Bar: 2, Beat: 3,
		},
		"close to gangway: you clapped one more after 4": {
			Phrase:     "gangway",
			Difference: "more", Bar: 1, Beat: 4.75,
		},
		"close to gangway: you clapped one more before the beginning": {
			Phrase:     "gangway",
			Difference: "more", Bar: 1, Beat: -0.5,
		},
	} {
		assert.Equal(t, want, closeTo(c))
	}
}
