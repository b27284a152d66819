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

// While a drum rings its next stroke rises by much less than a stroke out of quiet.
func TestTheNextStrokeOfADrumThatStillRingsIsHeard(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 8))
	sound := make([]float32, 11*SampleRate)
	for i := range sound {
		sound[i] = float32(1e-4 * rng.NormFloat64())
	}
	var want []float64
	for bar := range 5 {
		for _, beat := range []float64{0, 0.25, 0.5, 1} {
			at := 0.5 + 2*float64(bar) + beat
			want = append(want, at)
			for i := range SampleRate / 2 {
				t := float64(i) / SampleRate
				begin := math.Sin(math.Pi / 2 * math.Min(1, t/0.0025))
				sound[int(at*SampleRate)+i] += float32(
					0.3 * begin * begin * math.Exp(-t/0.16) * math.Sin(2*math.Pi*330*t))
			}
		}
	}
	var heard []float64
	for _, x := range analyse(t, sound).Attacks {
		heard = append(heard, x.Time)
	}
	require.Len(t, heard, len(want))
	assert.InDeltaSlice(t, want, heard, 0.006)
}
