package onset

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tones are low tones that begin within some seconds and ring on, each answered by a clap, in faint
// noise.
func tones(begin float64) ([]float32, []float64) {
	rng := rand.New(rand.NewPCG(2, 8))
	sound := make([]float32, 14*SampleRate)
	for i := range sound {
		sound[i] = float32(1e-4 * rng.NormFloat64())
	}
	var times []float64
	for k := range 7 {
		at := 0.4 + 2*float64(k)
		times = append(times, at)
		for i := range 6 * SampleRate / 10 {
			t := float64(i) / SampleRate
			rise := math.Sin(math.Pi / 2 * math.Min(1, t/begin))
			fade := 1 - t/0.6
			sound[int(at*SampleRate)+i] += float32(0.3 * rise * rise * fade * math.Sin(2*math.Pi*330*t))
		}
		addClap(rng, sound, int((at+1)*SampleRate), 0.3, 0.003)
	}
	return sound, times
}

// A conga or a bongo rings as long as a vowel does, and has nothing above 3 kHz either.
func TestADrumThatRingsOnIsAnAttackAndAVoiceIsNone(t *testing.T) {
	lows := func(sound []float32) (times []float64) {
		for _, x := range analyse(t, sound).Attacks {
			if x.Low {
				times = append(times, x.Time)
			}
		}
		return times
	}
	struck, times := tones(0.002)
	heard := lows(struck)
	require.Len(t, heard, len(times))
	assert.InDeltaSlice(t, times, heard, 0.006)
	sung, _ := tones(0.04)
	assert.Empty(t, lows(sung))
}
