package assess

import (
	"bytes"
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/patterns/bank"
)

// demoThrough is the demo recorded by a phone that does something to every sample.
func demoThrough(t *testing.T, phone func(x float64) float64) []byte {
	t.Helper()
	stream, err := audio.Open(context.Background(), bytes.NewReader(demoWAV()), audio.Options{})
	require.NoError(t, err)
	defer stream.Close()
	samples := make([]float32, 0, 120*audio.Rate)
	for buffer := make([]float32, 4096); err == nil; {
		var n int
		n, err = stream.Read(buffer)
		for _, x := range buffer[:n] {
			samples = append(samples, float32(phone(float64(x))))
		}
	}
	var out bytes.Buffer
	require.NoError(t, synth.WriteWAV(&out, samples, audio.Rate))
	return out.Bytes()
}

func TestWhatIsTooLoudForThePhoneGetsNoTierAndNoBlame(t *testing.T) {
	for name, test := range map[string]struct {
		phone func(x float64) float64
		code  string
	}{
		"clipped":    {func(x float64) float64 { return max(-0.98, min(0.98, 30*x)) }, audio.WarnClipped},
		"overdriven": {func(x float64) float64 { return 0.8 * math.Tanh(30*x) }, audio.WarnOverdriven},
	} {
		t.Run(name, func(t *testing.T) {
			file := bytes.NewReader(demoThrough(t, test.phone))
			o := Options{Repertoire: bank.StarterRepertoire()}
			r, err := Recording(t.Context(), file, bank.Starter(), o)
			require.NoError(t, err)
			require.NotNil(t, r.Recording.Flattened)
			assert.Equal(t, test.code, r.Recording.Flattened.Kind)
			assert.True(t, r.Recording.Flattened.Severe)
			assert.Equal(t, []string{test.code}, codes(r), "one cause, one warning")
			assert.Nil(t, r.Group.Tier)
			assert.Empty(t, r.Openers)
			for _, round := range r.Rounds {
				assert.Nil(t, round.Share)
				assert.False(t, round.Usable)
			}
			require.NoError(t, validate(t, r))
		})
	}
}

func TestTheDemoIsNotFlattened(t *testing.T) {
	r, err := demoReport()
	require.NoError(t, err)
	assert.Nil(t, r.Recording.Flattened)
}

func TestSharesAreLessCertainWhereSomeDifferencesAreLost(t *testing.T) {
	r := &Report{Rounds: []Round{{ShareSD: pointer(0.2)}, {}}}
	r.widen()
	assert.InDelta(t, 0.2*flattenedFactor, *r.Rounds[0].ShareSD, 1e-9)
	assert.Nil(t, r.Rounds[1].ShareSD)
}
