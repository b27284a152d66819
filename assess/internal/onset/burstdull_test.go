package onset_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
)

// stamp adds a thud of 200 Hz with a faint click, 30 dB below it, where the foot lands.
func (h *hall) stamp(at, amplitude float64) {
	start := int(at * onset.SampleRate)
	for i := start; i < min(len(h.samples), start+onset.SampleRate/4); i++ {
		t := float64(i-start) / onset.SampleRate
		thud := math.Exp(-t/0.03) * math.Sin(2*math.Pi*200*t)
		click := math.Exp(-t/0.003) * h.rng.NormFloat64() / 30
		h.samples[i] += float32(amplitude * (thud + click))
	}
}

func TestDullStrokesOfOnePersonAreFoundBesideLoudClaps(t *testing.T) {
	h := newHall(20, 0.09, 0.6)
	var claps, stamps []float64
	for i := range 12 {
		at := 0.5 + 1.5*float64(i)
		claps, stamps = append(claps, at), append(stamps, at+0.7)
		h.clap(at, 0.5)
		h.stamp(at+0.7, 0.3)
	}
	found := burstsOf(t, h.samples)
	require.Len(t, found, len(claps)+len(stamps))
	for i, b := range found {
		want := claps[i/2]
		if i%2 == 1 {
			want = stamps[i/2]
			assert.Less(t, b.Power, found[i-1].Power/10, "power is the clap band's")
		}
		assert.InDelta(t, want, b.Time, 0.008)
		assert.Zero(t, b.Width)
	}
}
