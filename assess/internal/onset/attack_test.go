package onset

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// addClap adds a dry clap that begins on a sample: noise whose power decays to 1/e in decay
// seconds.
func addClap(r *rand.Rand, samples []float32, at int, level, decay float64) {
	for i := at; i < min(len(samples), at+int(8*decay*SampleRate)); i++ {
		samples[i] += float32(level * r.NormFloat64() * math.Exp(-float64(i-at)/(2*decay*SampleRate)))
	}
}

func analyse(t testing.TB, samples []float32) *Analysis {
	a, err := Analyse(t.Context(), &samplesReader{samples: samples})
	require.NoError(t, err)
	return a
}

func TestSingleClapsAreUnbiased(t *testing.T) {
	for _, decay := range []float64{0.0015, 0.003, 0.006} {
		for _, hiss := range []float64{0, 0.0005, 0.003} {
			t.Run(fmt.Sprintf("decay %g ms, background %g", 1000*decay, hiss), func(t *testing.T) {
				r := rand.New(rand.NewPCG(3, 3))
				samples := noise(r, 60*SampleRate, hiss)
				var starts []int
				// The first on sample 0.
				for at := 0; at < len(samples)-SampleRate; at += int((0.2 + 0.4*r.Float64()) * SampleRate) {
					addClap(r, samples, at, 0.2+0.3*r.Float64(), decay)
					starts = append(starts, at)
				}
				a := analyse(t, samples)
				require.Len(t, a.Attacks, len(starts))
				signed, absolute := 0.0, 0.0
				for i, found := range a.Attacks {
					late := found.Time - float64(starts[i])/SampleRate
					require.InDelta(t, 0, late, 0.004, "clap %d", i)
					signed += late / float64(len(starts))
					absolute += math.Abs(late) / float64(len(starts))
				}
				t.Logf("%d claps: mean signed error %.3f ms, mean absolute error %.3f ms",
					len(starts), 1000*signed, 1000*absolute)
				assert.Less(t, math.Abs(signed), 0.0004)
				assert.Less(t, absolute, 0.0006)
			})
		}
	}
}

func TestSilenceHasNoAttack(t *testing.T) {
	n := 5 * SampleRate
	constant := make([]float32, n)
	for i := range constant {
		constant[i] = 0.3
	}
	swell := sine(200, n)
	for i := range swell {
		swell[i] *= float32(i) / float32(n)
	}
	for law, samples := range map[string][]float32{
		"digital silence":      make([]float32, n),
		"a constant":           constant[SampleRate:], // its first sample is a step
		"a swelling hum":       swell,
		"shorter than a frame": make([]float32, 5),
	} {
		t.Run(law, func(t *testing.T) {
			if law == "a constant" {
				for i := range SampleRate {
					samples[i] *= float32(i) / SampleRate
				}
			}
			assert.Empty(t, analyse(t, samples).Attacks)
		})
	}
}

func TestAClapOnTheFirstSampleIsFound(t *testing.T) {
	samples := make([]float32, SampleRate)
	addClap(rand.New(rand.NewPCG(4, 4)), samples, 0, 0.4, 0.003)
	a := analyse(t, samples)
	require.Len(t, a.Attacks, 1)
	assert.InDelta(t, 0, a.Attacks[0].Time, 0.001)
}

func TestWhatAnAttackTells(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	samples := noise(r, 12*SampleRate, 0.0003)
	starts := []int{SampleRate, 3 * SampleRate, 5 * SampleRate}
	addClap(r, samples, starts[0], 0.4, 0.003)
	addClap(r, samples, starts[1], 0.04, 0.003) // 20 dB below
	for range 25 {                              // many hands
		addClap(r, samples, starts[2]+int(math.Abs(r.NormFloat64())*0.03*SampleRate), 0.2, 0.003)
	}
	a := analyse(t, samples)
	first := func(at int) Attack {
		for _, x := range a.Attacks {
			if math.Abs(x.Time-float64(at)/SampleRate) < 0.03 {
				return x
			}
		}
		t.Fatalf("no attack near %d", at)
		return Attack{}
	}
	loud, soft, many := first(starts[0]), first(starts[1]), first(starts[2])
	assert.InDelta(t, 20, 10*math.Log10(loud.Power/soft.Power), 3, "power is proportional to energy")
	assert.Greater(t, loud.Concentration, 0.85, "one dry clap comes at once")
	assert.Less(t, many.Concentration, 0.5, "many do not")
	assert.Greater(t, loud.Contrast, 15.0)
	assert.Greater(t, loud.Colour, 0.4, "white noise has most of its clap band above 3 kHz")
	assert.Less(t, loud.Thump, 0.0)
}

func TestAttacksFarBelowTheLoudestAreLeftOut(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	samples := make([]float32, 10*SampleRate)
	for i := range 8 {
		addClap(r, samples, (i+1)*SampleRate, 0.5, 0.003)
	}
	addClap(r, samples, 9*SampleRate+SampleRate/2, 0.5*math.Pow(10, -50.0/20), 0.003)
	assert.Len(t, analyse(t, samples).Attacks, 8)
}

// A diffuse room's power decays by 60 dB in RT60, to 1/e in RT60/13.8 (the definition of
// reverberation time: 60 dB are 13.8 powers of e).
func TestDecayOfTheRoomIsEstimated(t *testing.T) {
	for _, rt60 := range []float64{0.3, 0.6, 1, 1.6} {
		for _, direct := range []float64{0.3, 0.7} {
			t.Run(fmt.Sprintf("RT60 %g s, direct share %g", rt60, direct), func(t *testing.T) {
				r := rand.New(rand.NewPCG(7, 7))
				samples := noise(r, 30*SampleRate, 0.0003)
				decay := rt60 / 13.8
				for at := SampleRate; at < len(samples)-2*SampleRate; at += SampleRate {
					// The energy of a decaying noise is its level squared times its decay.
					addClap(r, samples, at, 0.5*math.Sqrt(direct/clapDecay*0.003), clapDecay)
					addClap(r, samples, at, 0.5*math.Sqrt((1-direct)/decay*0.003), decay)
				}
				kernel := analyse(t, samples).Kernel
				t.Logf("decay %.4f s of %.4f, direct %.2f of %.2f", kernel.Decay, decay,
					kernel.Direct, direct)
				assert.InEpsilon(t, decay, kernel.Decay, 0.3)
				assert.InDelta(t, direct, kernel.Direct, 0.25)
			})
		}
	}
}

// The middle stroke and the middle syllable or knock of the recordings that the weights were set
// on.
func TestSyllablesAreNotTakenForStamps(t *testing.T) {
	sure := func(rise, level float64) float64 {
		w := InUse()
		return w.confidence(DullKind, Attack{Rise: rise}.dullFeatures(level))
	}
	require.Greater(t, sure(14.5, -5), 0.9)
	require.Less(t, sure(5.8, -16), 0.3)
}
