package sound

import (
	"math/cmplx"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/dsp/fourier"

	"clapladder.example/rhythm"
)

// centroid is the mean frequency of a sound's power in Hz.
func centroid(x []float64) float64 {
	padded := make([]float64, 1<<15)
	copy(padded, x)
	power, moment := 0.0, 0.0
	fft := fourier.NewFFT(len(padded))
	for k, c := range fft.Coefficients(nil, padded) {
		p := cmplx.Abs(c) * cmplx.Abs(c)
		power += p
		moment += p * fft.Freq(k) * rate
	}
	return moment / power
}

// That a stamp is lowest, then a pat, a clap and a snap is common practice, no source.
func TestSoundsAreFarApartInBrightness(t *testing.T) {
	low := 20.0 // Hz
	for _, kind := range []rhythm.Sound{rhythm.Stamp, rhythm.Pat, rhythm.Clap, rhythm.Snap} {
		leads := centroid(voice(kind, leader))
		t.Logf("%s: %.0f Hz", kind, leads)
		assert.Greater(t, leads, 1.7*low, "%s, the leader's, is most of an octave above the one before", kind)
		for i := range hands {
			other := centroid(voice(kind, i))
			assert.Greater(t, other, 1.2*low, "%s of %d", kind, i)
			assert.InEpsilon(t, leads, other, 0.4, "%s of %d is of its kind", kind, i)
		}
		low = leads
	}
}

// A clap is a short burst: of 1,918 claps recorded with phones half the energy came within about 1
// ms and 90 % within about 10 ms, in nine of ten within 24 ms, the room included.
func TestAClapIsAsShortAsOneOfHands(t *testing.T) {
	x := voice(rhythm.Clap, leader)
	whole, sum := 0.0, 0.0
	for _, v := range x {
		whole += v * v
	}
	var half, most float64
	for i, v := range x {
		sum += v * v
		if half == 0 && sum >= 0.5*whole {
			half = 1000 * float64(i) / rate
		}
		if most == 0 && sum >= 0.9*whole {
			most = 1000 * float64(i) / rate
		}
	}
	t.Logf("half within %.2f ms, 90 %% within %.1f ms", half, most)
	assert.Less(t, half, 1.6)
	assert.Less(t, most, 10.0)
}
