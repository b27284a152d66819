package sounds

import (
	"math"
	"math/cmplx"
	"math/rand/v2"

	"clapladder.example/assess/internal/synth/signal"
)

// render makes one stroke. The first sample is the onset. At 16 kHz its energy, the sum of squares,
// is that of its level; a higher rate adds the band above and leaves the rest as it was, a lower
// one takes it away. expected is what the method of that name says for this rate and for 16 kHz.
func (h hit) render(rate int, expected [2]float64, rng *rand.Rand) []float64 {
	fs := float64(rate)
	out := make([]float64, int(h.length()*fs)+1)
	// White noise of a given density grows with the root of the rate.
	envelope, fall := h.noise*math.Sqrt(fs/16000), math.Exp(-1/fs/h.noiseDecay)
	low, high := signal.OnePole(h.noiseLow, fs), signal.OnePole(h.noiseHigh, fs)
	var lowState, highState float64
	for i := range out {
		n := rng.NormFloat64()
		if h.noiseLow > 0 {
			lowState += low * (n - lowState)
			n -= lowState
		}
		if h.noiseHigh > 0 {
			highState += high * (n - highState)
			n = highState
		}
		out[i] = envelope * n
		envelope *= fall
	}
	h.addModes(out, fs, func() float64 { return 1 + 0.02*rng.NormFloat64() })
	energy := 0.0
	still, slope := h.still(fs)
	for i := range out {
		out[i] *= 1 - still
		still *= slope
		energy += out[i] * out[i]
	}
	scale := signal.FromDB(h.level) * math.Sqrt(expected[0]/expected[1]/energy*fs/16000)
	for i := range out {
		out[i] *= scale
	}
	return out
}

func (h hit) length() float64 {
	longest := h.noiseDecay
	for _, m := range h.modes {
		longest = math.Max(longest, m.decay)
	}
	return 6 * longest
}

// still is the part of the amplitude that has not come yet at the first sample, and its factor from
// sample to sample.
func (h hit) still(fs float64) (start, slope float64) {
	return math.Exp(-2e-5 / h.attack), math.Exp(-1 / fs / h.attack)
}

func (h hit) addModes(out []float64, fs float64, detune func() float64) {
	for _, m := range h.modes {
		if m.hertz >= 0.45*fs {
			continue
		}
		turn := cmplx.Rect(math.Exp(-1/fs/m.decay), 2*math.Pi*m.hertz*detune()/fs)
		at := cmplx.Rect(m.weight, 0.9)
		for i := range out {
			out[i] += imag(at)
			at *= turn
		}
	}
}

// expected is the energy of a rendering before scaling, in seconds: that of the modes, and the mean
// of the noise after its filters.
func (h hit) expected(fs float64) float64 {
	variance := fs / 16000 * h.noise * h.noise
	if c := signal.OnePole(h.noiseLow, fs); h.noiseLow > 0 {
		variance *= 2 * (1 - c) * (1 - c) / (2 - c)
	}
	if c := signal.OnePole(h.noiseHigh, fs); h.noiseHigh > 0 {
		variance *= c / (2 - c)
	}
	modes := make([]float64, int(h.length()*fs)+1)
	h.addModes(modes, fs, func() float64 { return 1 })
	fall := math.Exp(-2 / fs / h.noiseDecay)
	still, slope := h.still(fs)
	energy := 0.0
	for _, v := range modes {
		energy += (1 - still) * (1 - still) * (v*v + variance)
		variance *= fall
		still *= slope
	}
	return energy / fs
}
