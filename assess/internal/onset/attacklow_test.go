package onset

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tones are low tones that begin within some seconds and ring on, in faint noise.
func tones(begin float64) ([]float32, []float64) {
	rng := rand.New(rand.NewPCG(2, 8))
	sound := make([]float32, 6*SampleRate)
	for i := range sound {
		sound[i] = float32(1e-4 * rng.NormFloat64())
	}
	var times []float64
	for k := range 8 {
		at := 0.5 + 0.6*float64(k)
		times = append(times, at)
		for i := range SampleRate / 2 {
			t := float64(i) / SampleRate
			loud := 0.3 * math.Min(1, t/begin) * math.Exp(-t/0.12)
			sound[int(at*SampleRate)+i] += float32(loud * math.Sin(2*math.Pi*330*t))
		}
	}
	return sound, times
}

// A conga or a bongo rings as long as a vowel does, and has nothing above 3 kHz either.
func TestADrumThatRingsOnIsAnAttackAndAVoiceIsNone(t *testing.T) {
	struck, times := tones(0.001)
	a := analyse(t, struck)
	require.Len(t, a.Attacks, len(times))
	for k, x := range a.Attacks {
		assert.InDelta(t, times[k], x.Time, 0.006)
		assert.True(t, x.Low)
	}
	sung, _ := tones(0.04)
	assert.Empty(t, analyse(t, sung).Attacks)
}
