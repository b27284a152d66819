package ability

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What a leader's word stands for is the middle of what it may mean, everywhere in the project.
func TestAVerdictStandsForTheMiddleOfWhatItMeans(t *testing.T) {
	assert.InDelta(t, 0.175, Lost.Share(), 1e-12)
	assert.InDelta(t, 0.525, Partly.Share(), 1e-12)
	assert.InDelta(t, 0.85, Got.Share(), 1e-12)
	assert.Zero(t, NoVerdict.Share())
}

func TestVerdictsAreReadAsTheyAreWritten(t *testing.T) {
	for _, v := range []Verdict{NoVerdict, Lost, Partly, Got} {
		assert.Equal(t, v, ParseVerdict(v.String()))
	}
	assert.Equal(t, NoVerdict, ParseVerdict("perfect"))
}
