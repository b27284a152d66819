package activity

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/tape"
)

// pulses is the correlation between two times with pulses at the given times, and the mean height
// of the curve at the pulses.
func pulses(c *Everyone, times []float64, from, to float64) (correlation, mean float64) {
	near := NewNear(&c.Activity)
	inner, sum := near.At(times)
	correlation, ok := near.Correlation(inner, len(times), from, to, 0)
	if !ok {
		return 0, 0
	}
	return correlation, sum / float64(len(times))
}

func TestActivityMatchesThePulsesThatMadeIt(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	times := []float64{1, 1.6, 2.2, 2.5, 2.8}
	samples := make(tape.Tape, 5*onset.SampleRate)
	for i := range samples {
		samples[i] = float32(0.0003 * r.NormFloat64())
	}
	for _, at := range times {
		for range 15 { // hands
			start := int((at + 0.025*r.NormFloat64()) * onset.SampleRate)
			for k := range 500 {
				samples[start+k] += float32(0.05 * r.NormFloat64() * math.Exp(-float64(k)/100))
			}
		}
	}
	a, err := onset.Analyse(t.Context(), &samples)
	require.NoError(t, err)
	c := New(a, false)
	match, mean := pulses(c, times, 0.7, 3.1)
	assert.Greater(t, match, 0.8)
	assert.LessOrEqual(t, match, 1.0)
	assert.Greater(t, mean, 0.4)
	other, _ := pulses(c, []float64{1.3, 1.9, 2.35, 2.65, 2.95}, 0.7, 3.1)
	assert.Less(t, other, 0.0, "between the claps")
	late := make([]float64, len(times))
	for i, at := range times {
		late[i] = at + 0.06
	}
	shifted, _ := pulses(c, late, 0.7, 3.1)
	assert.Less(t, shifted, match, "late by 60 ms")
	outside, height := pulses(c, times, 50, 60)
	assert.Zero(t, outside)
	assert.Zero(t, height)
	assert.InDelta(t, 1, c.Highest(0.9, 2.9), 0.35, "strong bursts stand at about 1")
	assert.Less(t, c.Highest(3.5, 4.9), LeastPeak, "nothing afterwards")
	near := NewNear(&c.Activity)
	assert.Greater(t, near.Average(0.7, 3.1), near.Average(3.5, 4.9))
	assert.Zero(t, near.Average(3, 3))
	assert.Zero(t, near.Average(60, 70))

	assert.Equal(t, c.smooth, c.Without(a.Attacks, func(int) float64 { return 0 }).smooth,
		"no stroke is the leader's: nothing changes")
	require.NotEmpty(t, a.Attacks)
	first := a.Attacks[0].Time
	less := c.Without(a.Attacks, func(int) float64 { return 1 })
	assert.Less(t, less.Highest(first-0.01, first+0.03), c.Highest(first-0.01, first+0.03),
		"a stroke of the leader's is cut out")
}
