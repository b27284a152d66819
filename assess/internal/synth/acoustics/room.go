// Package acoustics is what happens to sound between where it is made and the recording: the room
// that rings, and the phone with its band, gains, limiter, gate and coding.
package acoustics

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/dsp/fourier"

	"clapladder.example/assess/internal/synth/signal"
)

// facing is the gain of the direct sound because people clap toward the phone: a directivity factor
// of 2.
const facing = 2.0

// decayByOctave is the reverberation time of each octave relative to the mean of 500 and 1000 Hz. A
// furnished hall with air absorption in the treble: common practice, no source.
var decayByOctave = []struct{ hertz, factor float64 }{
	{125, 1.15}, {250, 1.08}, {500, 1.0}, {1000, 1.0}, {2000, 0.92}, {4000, 0.75}, {8000, 0.55}, {16000, 0.4},
}

// Reverberance is the energy of the reverberation of a source over that of its direct sound at one
// metre. In a diffuse field the two are equal at the critical distance 0.057·√(V/T) (textbook:
// Kuttruff, Room Acoustics; from memory).
func (r Room) Reverberance() float64 {
	critical := 0.057 * math.Sqrt(r.Volume/r.RT60)
	return 1 / (critical * critical)
}

// Direct is the amplitude of the direct sound at a distance in metres.
func Direct(distance float64) float64 { return math.Sqrt(facing) / distance }

// ImpulseResponse makes the room's answer to a unit impulse without the direct sound: a few early
// reflections and a decaying noise tail, faster in the treble. Its energy is the room's
// reverberance.
func (r Room) ImpulseResponse(rate int, rng *rand.Rand) []float64 {
	fs := float64(rate)
	n := int(1.05 * decayByOctave[0].factor * r.RT60 * fs)
	out := r.tail(n, fs, rng)

	// First reflections arrive after a few metres of detour; the mean free path of the room sets
	// their spacing.
	path := 4 * r.Volume / (6 * math.Pow(r.Volume, 2.0/3)) / signal.SoundSpeed
	early := 0.0
	for _, v := range out {
		early += v * v
	}
	early = math.Sqrt(0.25 * early / 6)
	for k := range 6 {
		at := int((0.3 + 0.45*float64(k) + 0.4*rng.Float64()) * path * fs)
		if at+1 >= n {
			break
		}
		a := early * (1 - 0.1*float64(k)) * math.Copysign(1, rng.Float64()-0.4)
		out[at] += 0.7 * a // a reflection is not as sharp as the sound itself
		out[at+1] += 0.5 * a
	}
	energy := 0.0
	for _, v := range out {
		energy += v * v
	}
	scale := math.Sqrt(r.Reverberance() / energy)
	for i := range out {
		out[i] *= scale
	}
	return out
}

// tail is noise split into octaves that each decay at their own rate.
func (r Room) tail(n int, fs float64, rng *rand.Rand) []float64 {
	size := signal.FastLength(n)
	fft := fourier.NewFFT(size)
	noise := make([]float64, size)
	for i := range noise {
		noise[i] = rng.NormFloat64()
	}
	spectrum := fft.Coefficients(nil, noise)
	band := make([]complex128, len(spectrum))
	part := make([]float64, size)
	out := make([]float64, n)
	for k, octave := range decayByOctave {
		if octave.hertz/math.Sqrt2 > fs/2 {
			break
		}
		for i := range band {
			f := float64(i) * fs / float64(size)
			band[i] = spectrum[i] * complex(octaveWeight(k, f)/float64(size), 0)
		}
		fft.Sequence(part, band)
		decay := 6.908 / (octave.factor * r.RT60) // amplitude falls by 60 dB in one reverberation time
		for i := range out {
			t := float64(i) / fs
			build := 1 - math.Exp(-t/0.006)
			out[i] += part[i] * build * math.Exp(-decay*t)
		}
	}
	return out
}

// octaveWeight crosses over from octave to octave on a logarithmic axis; the weights of all octaves
// add to 1.
func octaveWeight(k int, hertz float64) float64 {
	x := math.Log2(math.Max(hertz, 1) / decayByOctave[k].hertz)
	if k == 0 && x < 0 || k == len(decayByOctave)-1 && x > 0 {
		return 1
	}
	return math.Max(0, 1-math.Abs(x))
}

// Room is the place. Its decay is that of a diffuse field: noise under an exponential, faster in
// the treble.
type Room struct {
	RT60   float64 // seconds, mean of the octaves at 500 and 1000 Hz, 0.15 to 4; 0 means 0.6
	Volume float64 // cubic metres; 0 means 60 + 400·RT60^1.5
}
