package onset

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// claps are strokes a third of a second apart on average, as hands place them, in faint noise.
func claps(n int, seed uint64) (sound []float32, times []float64) {
	rng := rand.New(rand.NewPCG(seed, 9))
	sound = make([]float32, (n+4)*SampleRate/2)
	for i := range sound {
		sound[i] = float32(1e-4 * rng.NormFloat64())
	}
	for k := range n {
		at := 0.5 + 0.5*float64(k) + 0.25*float64(rng.IntN(2)) + 0.006*rng.NormFloat64()
		times = append(times, at)
		loud := 0.3 * math.Exp(0.2*rng.NormFloat64())
		for i := range 300 {
			sound[int(at*SampleRate)+i] += float32(loud * rng.NormFloat64() / float64(1+i/8))
		}
	}
	return sound, times
}

// wall adds what a wall gives back of the sound.
func wall(sound []float32, seconds, share float64) []float32 {
	out := append([]float32(nil), sound...)
	late := int(seconds * SampleRate)
	for i := late; i < len(out); i++ {
		out[i] += float32(share) * sound[i-late]
	}
	return out
}

func TestAWallThatAnswersEveryStrokeIsAnEcho(t *testing.T) {
	sound, times := claps(30, 1)
	for _, seconds := range []float64{0.11, 0.187, 0.33} {
		a := analyse(t, wall(sound, seconds, 0.25))
		require.Greater(t, len(a.Attacks), 50, "the echoes are heard")
		clear := a.WithoutEchoes()
		require.Len(t, clear.Attacks, len(times))
		for k, x := range clear.Attacks {
			assert.InDelta(t, times[k], x.Time, 0.004)
		}
	}
}

// A leader who claps each stroke twice is no wall, however even the second is.
func TestHandsThatClapTwiceAreNoEcho(t *testing.T) {
	sound, _ := claps(30, 2)
	assert.Empty(t, analyse(t, sound).Echoes())
	second, times := claps(30, 2)
	rng := rand.New(rand.NewPCG(5, 6))
	for _, at := range times {
		from := int((at + 0.18 + 0.008*rng.NormFloat64()) * SampleRate)
		for i := range 300 {
			second[from+i] += float32(0.1 * rng.NormFloat64() / float64(1+i/8))
		}
	}
	a := analyse(t, second)
	require.Greater(t, len(a.Attacks), 50)
	assert.Empty(t, a.Echoes())
	assert.Same(t, a, a.WithoutEchoes())
}
