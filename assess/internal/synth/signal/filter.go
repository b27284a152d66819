// Package signal is what the making of sound is built from: filters, levels, spans of time, streams of
// random numbers, WAV files. A stream of random numbers belongs to its caller; filters have a state
// and serve one sound.
package signal

import "math"

// Biquad is a second-order filter in transposed direct form II.
type Biquad struct {
	b0, b1, b2, a1, a2 float64
	z1, z2             float64
}

// Next filters one sample.
func (f *Biquad) Next(x float64) float64 {
	y := f.b0*x + f.z1
	f.z1 = f.b1*x - f.a1*y + f.z2
	f.z2 = f.b2*x - f.a2*y
	return y
}

// Butterworth2 and butterworth4 are the quality factors of the sections of Butterworth filters
// (textbook).
var (
	Butterworth2 = []float64{math.Sqrt2 / 2}
	Butterworth4 = []float64{0.541196, 1.306563}
)

// LowPass and highPass are the bilinear-transform sections of R. Bristow-Johnson's filter cookbook;
// BandPass has 0 dB at its centre.
func LowPass(hertz, q, fs float64) *Biquad {
	cos, alpha := section(hertz, q, fs)
	return normal((1-cos)/2, 1-cos, (1-cos)/2, 1+alpha, -2*cos, 1-alpha)
}

// HighPass is a section of second order that keeps what is above a corner.
func HighPass(hertz, q, fs float64) *Biquad {
	cos, alpha := section(hertz, q, fs)
	return normal((1+cos)/2, -1-cos, (1+cos)/2, 1+alpha, -2*cos, 1-alpha)
}

// BandPass is a section of second order that keeps what is around a frequency.
func BandPass(hertz, q, fs float64) *Biquad {
	cos, alpha := section(hertz, q, fs)
	return normal(alpha, 0, -alpha, 1+alpha, -2*cos, 1-alpha)
}

func section(hertz, q, fs float64) (cos, alpha float64) {
	w := 2 * math.Pi * math.Min(hertz, 0.49*fs) / fs
	return math.Cos(w), math.Sin(w) / (2 * q)
}

func normal(b0, b1, b2, a0, a1, a2 float64) *Biquad {
	return &Biquad{b0: b0 / a0, b1: b1 / a0, b2: b2 / a0, a1: a1 / a0, a2: a2 / a0}
}

// OnePole returns the coefficient of a one-pole low-pass.
func OnePole(hertz, fs float64) float64 { return 1 - math.Exp(-2*math.Pi*math.Min(hertz, 0.45*fs)/fs) }

// HighPassed returns a copy of x through a fourth-order high-pass.
func HighPassed(x []float64, hertz, fs float64) []float64 {
	out := append(make([]float64, 0, len(x)), x...)
	for _, q := range Butterworth4 {
		f := HighPass(hertz, q, fs)
		for i := range out {
			out[i] = f.Next(out[i])
		}
	}
	return out
}
