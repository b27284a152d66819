package audio_test

import (
	"bytes"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// warmUp is claps of different strength (SD 5 dB), in fours with pauses between, over steady noise.
func warmUp(rate int) []float64 {
	rng := rand.New(rand.NewPCG(31, 4))
	x := noise(40*rate, 0.002, 33)
	for at := 0.5; at < 38; {
		for range 4 {
			strength := 0.15 * math.Exp(5*math.Ln10/20*rng.NormFloat64())
			dies := 0.004 + 0.02*rng.Float64()
			start := int(at * float64(rate))
			for i := range rate / 4 {
				t := float64(i) / float64(rate)
				x[start+i] += strength * (math.Exp(-t/dies) + 0.1*math.Exp(-t/0.08)) * rng.NormFloat64()
			}
			at += 0.35
		}
		at += 0.5
	}
	peak := 0.0
	for _, v := range x {
		peak = math.Max(peak, math.Abs(v))
	}
	return scaled(x, 0.9/peak)
}

// followed turns the level down by the law that gain gives for the level so far, which rises at
// once and falls by half in the given time.
func followed(x []float64, rate int, half float64, gain func(level float64) float64) []float64 {
	out := make([]float64, len(x))
	fall := math.Pow(0.5, 1/(half*float64(rate)))
	level := 0.0
	for i, v := range x {
		level = math.Max(math.Abs(v), level*fall)
		out[i] = v * gain(level)
	}
	return out
}

func limitedTo(ceiling float64) func(level float64) float64 {
	return func(level float64) float64 { return math.Min(1, ceiling/math.Max(level, 1e-9)) }
}

func flatteningOf(t *testing.T, file []byte) audio.Flattening {
	t.Helper()
	s, err := audio.Open(t.Context(), bytes.NewReader(file), noFFmpeg)
	require.NoError(t, err)
	defer s.Close()
	for buffer := make([]float32, 5000); !errors.Is(err, io.EOF); {
		_, err = s.Read(buffer)
	}
	return s.Flattening()
}

func TestWhatTookAwayDifferencesOfLevelIsNamedOnce(t *testing.T) {
	const rate = 16000
	plain := warmUp(rate)
	driven := followed(plain, rate, 0.05, limitedTo(0.05))
	levelled := func(level float64) float64 { return math.Min(20, 0.2/math.Max(level, 1e-9)) }
	for name, test := range map[string]struct {
		sound  []float64
		code   string
		severe bool
	}{
		"nothing":                        {plain, "", false},
		"a limiter that works hard":      {driven, "overdriven", true},
		"saturation":                     {saturated(plain, 12), "overdriven", true},
		"an amplifier that clips":        {limited(scaled(plain, 20), 0.98), "clipped", true},
		"a gain control as fast as talk": {followed(plain, rate, 0.15, levelled), "levelled", true},
		"one clap over and over":         {clapTrain(rate, 40, 0.001), "", false},
		"silence":                        {make([]float64, rate), "", false},
	} {
		t.Run(name, func(t *testing.T) {
			file := wav16(rate, test.sound)
			got := flatteningOf(t, file)
			assert.Equal(t, test.code, got.Code, "%+v", got)
			assert.Equal(t, test.severe, got.Severe(), "%+v", got)
			named := 0
			for _, code := range mustDecode(t, file).codes() {
				switch code {
				case "clipped", "overdriven", "levelled", "gain-riding":
					assert.Equal(t, test.code, code)
					named++
				}
			}
			assert.Equal(t, test.code != "", named == 1)
		})
	}
}

// saturated bends the peaks of x round, as tape and small amplifiers do.
func saturated(x []float64, by float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = 0.9 * math.Tanh(by*v)
	}
	return out
}

// However evenly one person claps, their claps spread over some dB, and no limiter holds them.
func TestClapsOfOneEvenPersonAreNotFlattened(t *testing.T) {
	const rate = 16000
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 9))
		x := noise(40*rate, 0.0005, 34)
		for at := 0.5; at < 38; at += 0.3 + 0.5*rng.Float64() {
			strength := 0.3 * math.Exp(1.2*math.Ln10/20*rng.NormFloat64())
			dies := 0.004 + 0.003*rng.Float64()
			for i := range rate / 4 {
				v := math.Exp(-float64(i) / float64(rate) / dies)
				x[int(at*rate)+i] += strength * v * math.Sin(2*math.Pi*1900*float64(i)/rate)
			}
		}
		assert.Empty(t, flatteningOf(t, wav16(rate, x)).Code, "seed %d", seed)
	}
}
