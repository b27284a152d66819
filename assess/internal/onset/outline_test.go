package onset

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnOutlineShowsWhereItIsLoudAndByHowMuch(t *testing.T) {
	samples := make([]float32, 2*SampleRate)
	copy(samples[SampleRate/2:], noise(rand.New(rand.NewPCG(3, 4)), SampleRate/4, 0.1))
	// The same at a tenth: 20 dB less.
	copy(samples[3*SampleRate/2:], noise(rand.New(rand.NewPCG(3, 4)), SampleRate/4, 0.01))
	powers, step := read(t, samples).envelope().Outline(100)
	assert.InDelta(t, 0.02, step, 1e-9)
	require.Len(t, powers, 100)
	assert.Equal(t, OutlineFloor, powers[10], "silence")
	assert.Zero(t, slices.Max(powers[:50]), "the loudest step")
	assert.InDelta(t, -20, slices.Max(powers[50:]), 0.1)
	assert.Equal(t, OutlineFloor, powers[99])
}

func TestOutlinesAreAsShortAsAskedFor(t *testing.T) {
	for _, seconds := range []float64{0, 0.001, 0.1, 1, 7.3, 61} {
		for _, most := range []int{1, 7, 600, 1200} {
			e := read(t, noise(rand.New(rand.NewPCG(1, 2)), int(seconds*SampleRate), 0.1)).envelope()
			powers, step := e.Outline(most)
			assert.LessOrEqual(t, len(powers), most)
			assert.GreaterOrEqual(t, step*float64(len(powers)), e.Seconds()-1e-9, "all is covered")
			assert.Less(t, step*float64(len(powers)-1), e.Seconds()+1e-9, "and nothing beyond")
			for _, db := range powers {
				assert.True(t, db >= OutlineFloor && db <= 0, "%g", db)
			}
		}
	}
}

func TestSilenceIsAtTheFloorThroughout(t *testing.T) {
	powers, _ := read(t, make([]float32, SampleRate)).envelope().Outline(10)
	require.Len(t, powers, 10)
	for _, db := range powers {
		assert.Equal(t, OutlineFloor, db)
		assert.False(t, math.IsNaN(db))
	}
}
