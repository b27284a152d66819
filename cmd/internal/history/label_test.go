package history

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestLabelsThatLookLikeNamesGetAReminder(t *testing.T) {
	for label, want := range map[string]bool{
		"Mrs Anchor":              true,
		"dr. Keel":                true,
		"Anchor Keel":             true,
		"Anchor B. Keel":          true,
		"Anne-Keel O'Rudder":      true,
		"Keel's pupils":           true,
		"Lunch clappers":          false,
		"Boatyard Lunch Hour":     false,
		"Tuesday Crew":            false,
		"tuesday, slipway":        false,
		"Slipway":                 false,
		"Class 3B":                false,
		"Shift 2":                 false,
		"NHS Ward":                false,
		"Ropewalk Sail Loft Dock": false,
		"":                        false,
		"夜潮":                      false,
	} {
		why, looks := LooksLikeName(label)
		assert.Equal(t, want, looks, "%q: %s", label, why)
		assert.Equal(t, looks, why != "")
	}
}

func TestLabelsAreTheSameButForCaseSpacesAndComposition(t *testing.T) {
	assert.True(t, SameGroup("Café  crew", " cafe\u0301\tCREW"))
	assert.False(t, SameGroup("crew 1", "crew 11"))
	assert.Equal(t, "a b c", CleanLabel("\x00a\n b\u00a0\u2003c "))
	assert.Equal(t, CleanLabel("x\xffy"), CleanLabel(CleanLabel("x\xffy")))
}
