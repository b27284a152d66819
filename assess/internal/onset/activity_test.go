package onset

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSmoothingKeepsTheSum(t *testing.T) {
	in := make([]float32, 101)
	in[50], in[30] = 1, 2
	out := Smooth(nil, in, 2.5)
	sum := 0.0
	for _, y := range out {
		sum += float64(y)
	}
	assert.InDelta(t, 3, sum, 1e-6)
	assert.InDelta(t, out[48], out[52], 1e-7, "symmetric")
	assert.Greater(t, out[50], out[51])
}

func TestWhatIsKeptOfARecordingIsTheSameWithAndWithoutDetail(t *testing.T) {
	samples := noise(rand.New(rand.NewPCG(7, 8)), 5*SampleRate, 0.001)
	for at := SampleRate; at < 4*SampleRate; at += SampleRate / 2 {
		copy(samples[at:], noise(rand.New(rand.NewPCG(9, 9)), 100, 0.3))
	}
	kept, err := Analyse(t.Context(), &samplesReader{samples: samples})
	require.NoError(t, err)
	full, err := Examine(t.Context(), &samplesReader{samples: samples})
	require.NoError(t, err)
	assert.Equal(t, full.Analysis, *kept)
	assert.NotEmpty(t, full.Bursts())
}
