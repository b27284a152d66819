package ability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPriorIsWhatWasAsked(t *testing.T) {
	for _, want := range []Prior{
		{Level: 5, LevelSD: 2},
		{Level: -3.3, LevelSD: 0.5},
		{Level: 2, LevelSD: 0.1},
		{Level: 4.04, LevelSD: 4},
	} {
		p := prior(t, want)
		mean, sd := p.Level()
		assert.InDelta(t, want.Level, mean, 1e-6)
		assert.InEpsilon(t, want.LevelSD, sd, 0.005)
		assert.InDelta(t, want.Level, p.LevelQuantile(0.5), 1e-6)
		assert.InDelta(t, 1.6449*want.LevelSD, p.LevelQuantile(0.95)-want.Level, 0.03)
		// Mean of a lognormal: 1.0·e^(0.4²/2).
		spread, _ := p.spread()
		assert.InDelta(t, math.Exp(0.08), spread, 0.02)
	}
	assert.Equal(t, Prior{Level: 5, LevelSD: 2}, PriorForTiers(9))
	assert.Equal(t, Prior{Level: 3, LevelSD: 2}, PriorForTiers(5))
}

func TestPastFadesWithTime(t *testing.T) {
	assert.InDelta(t, math.Sqrt(0.4*0.4+0.3*0.3), PriorFromPast(4, 0.4, 0).LevelSD, 1e-12)
	assert.InDelta(t, math.Sqrt(0.4*0.4+0.3*0.3+0.6*0.6), PriorFromPast(4, 0.4, 90).LevelSD, 1e-12)
	assert.Equal(t, PriorFromPast(4, 0.4, 0), PriorFromPast(4, 0.4, -3))
	last := 0.0
	for _, days := range []float64{0, 1, 7, 30, 365, 3650} {
		p := PriorFromPast(4, 0.4, days)
		assert.Equal(t, 4.0, p.Level)
		assert.Greater(t, p.LevelSD, last)
		last = p.LevelSD
	}
	assert.Equal(t, usualLevelSD, PriorFromPast(4, 0.4, 36500).LevelSD,
		"never vaguer than an unknown group")
}
