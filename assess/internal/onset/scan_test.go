package onset

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// strokes are claps, stamps and steady noise that comes and goes, for so many seconds.
func strokes(rng *rand.Rand, seconds int) []float32 {
	out := noise(rng, seconds*SampleRate, 0.001)
	add := func(at int, loud, decay, hz float64) {
		for k := range min(SampleRate/2, len(out)-at) {
			x := rng.NormFloat64()
			if hz > 0 {
				x = math.Sin(2 * math.Pi * hz * float64(k) / SampleRate)
			}
			out[at+k] += float32(loud * x * math.Exp(-float64(k)/decay))
		}
	}
	for at := 0; at < len(out); at += SampleRate/8 + rng.IntN(SampleRate) {
		switch rng.IntN(4) {
		case 0:
			add(at, 0.4*rng.Float64(), 600, 180)
		case 1:
			add(at, 0.01, 8*SampleRate, 0)
		default:
			add(at, 0.3*rng.Float64(), 60, 0)
		}
	}
	return out
}

// dull takes out what lies above a frequency, by running means.
func dull(samples []float32, length int) []float32 {
	out := make([]float32, len(samples))
	for range 6 {
		var sum float64
		for i, x := range samples {
			sum += float64(x)
			if i >= length {
				sum -= float64(samples[i-length])
			}
			out[i] = float32(sum / float64(length))
		}
		samples, out = out, make([]float32, len(samples))
	}
	return samples
}

// The sound is not kept for the search, so it goes on while sound comes in.
func TestSearchingAStretchAtATimeFindsWhatSearchingAllAtOnceFinds(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	sound := strokes(rng, 95)
	for name, samples := range map[string][]float32{
		"all bands":                 sound,
		"the highest band is empty": dull(sound, 4),
		"a muffled recording":       dull(sound, 16),
		"silence":                   make([]float32, 40*SampleRate),
		"short":                     sound[:SampleRate/3],
		"one sample":                sound[:1],
	} {
		t.Run(name, func(t *testing.T) {
			all := &scan{recent: *read(t, samples)}
			all.finish()
			want := all.analysis(all.recent.envelope())
			got, err := Analyse(t.Context(), &samplesReader{samples: samples})
			require.NoError(t, err)
			assert.Equal(t, &want, got)

			g := NewGrowing()
			for from := 0; from < len(samples); {
				n := min(len(samples)-from, 1+rng.IntN(2*SampleRate))
				g.Add(samples[from : from+n])
				from += n
				if since := g.Frames() - 20*FrameRate; since > 0 && rng.IntN(9) == 0 {
					part := &scan{recent: all.recent.until(g.Frames()).since(since)}
					part.finish()
					want := part.analysis(part.recent.envelope())
					assert.Equal(t, &want, g.Since(since), "from frame %d", since)
				}
			}
			assert.Equal(t, &want, g.Finish())
		})
	}
}

func (e bands) until(frame int) *bands {
	for b := range e.band {
		e.band[b] = e.band[b][:frame]
	}
	e.clap = e.clap[:frame]
	return &e
}

func TestUsagesCountWhatHoldsSound(t *testing.T) {
	loud := [bandCount]float64{1, 1, 1, 1}
	assert.Equal(t, highUsed|brightUsed, usedBy(loud))
	assert.Equal(t, highUsed, usedBy([bandCount]float64{1, 1, 1, 1e-7}))
	assert.Equal(t, usage(0), usedBy([bandCount]float64{1, 1, 1e-7, 0}))
	for u := range usage(usages) {
		sum := float32(0)
		for b, w := range usageWeights[u] {
			sum += w
			assert.Equal(t, u.has(b), w > 0)
		}
		assert.InDelta(t, 1, sum, 1e-6)
	}
}
