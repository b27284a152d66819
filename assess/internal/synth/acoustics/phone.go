package acoustics

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"

	"clapladder.example/assess/internal/synth/signal"
)

// Record puts the sound in the room through the phone, in place.
func (p Phone) Record(x []float32, rate int) {
	fs := float64(rate)
	p.limitBand(x, fs)
	if p.AGC > 1 {
		gainControl(x, fs, p.AGC)
	}
	p.Levelling.level(x, fs)
	limit(x, fs, p.LimitDB)
	gate(x, fs, p.GateDB)
	if p.Coding > 0 {
		coarsen(x, fs, p.Coding)
	}
	peak := 0.0
	for _, v := range x {
		peak = math.Max(peak, math.Abs(float64(v)))
	}
	if peak == 0 {
		return
	}
	scale := signal.FromDB(-3) / peak
	if p.ClipDB > 0 {
		scale = signal.FromDB(p.ClipDB) / peak
	}
	steps := math.Pow(2, float64(p.Bits-1))
	for i, v := range x {
		y := signal.Clamp(float64(v)*scale, -1, 1-1/steps)
		x[i] = float32(math.Round(y*steps) / steps)
	}
}

func (p Phone) limitBand(x []float32, fs float64) {
	var filters []*signal.Biquad
	for _, q := range signal.Butterworth2 {
		filters = append(filters, signal.HighPass(p.LowCut, q, fs))
	}
	if p.HighCut > 0 && p.HighCut < 0.49*fs {
		for _, q := range signal.Butterworth4 {
			filters = append(filters, signal.LowPass(p.HighCut, q, fs))
		}
	}
	for i, v := range x {
		y := float64(v)
		for _, f := range filters {
			y = f.Next(y)
		}
		x[i] = float32(y)
	}
}

// gainControl evens out loud and soft the way recorders do: level in a fast-attack, slow-release
// follower (5 ms, 0.5 s), gain reduced by the ratio above a threshold 20 dB below the loudest
// level, and never raised by more than 20 dB.
func gainControl(x []float32, fs, ratio float64) {
	attack, release := signal.OnePole(1/(2*math.Pi*0.005), fs), signal.OnePole(1/(2*math.Pi*0.5), fs)
	levels := make([]float32, len(x))
	level, loudest := 0.0, 0.0
	for i, v := range x {
		power := float64(v) * float64(v)
		if power > level {
			level += attack * (power - level)
		} else {
			level += release * (power - level)
		}
		levels[i] = float32(level)
		loudest = math.Max(loudest, level)
	}
	threshold := loudest / 100
	if threshold == 0 {
		return
	}
	exponent := (1/ratio - 1) / 2
	for i, v := range x {
		if over := float64(levels[i]) / threshold; over > 1 {
			x[i] = v * float32(math.Pow(over, exponent))
		}
	}
}

// coarsen rounds spectra in overlapping frames of 32 ms to steps that grow with the level of their
// band, as codecs of low bit rate do: weak bins vanish, and what is left is smeared over the frame,
// before the onset too. No real codec is imitated.
func coarsen(x []float32, fs, loss float64) {
	n := signal.FastLength(int(0.032*fs) &^ 1)
	n += n & 1
	hop := n / 2
	fft := fourier.NewFFT(n)
	window := make([]float64, n)
	for i := range window {
		window[i] = math.Sin(math.Pi * (float64(i) + 0.5) / float64(n))
	}
	frame := make([]float64, n)
	var spectrum []complex128
	out := make([]float32, len(x))
	for start := -hop; start < len(x); start += hop {
		for i := range frame {
			frame[i] = 0
			if at := start + i; at >= 0 && at < len(x) {
				frame[i] = float64(x[at]) * window[i]
			}
		}
		spectrum = fft.Coefficients(spectrum, frame)
		roundBands(spectrum, loss)
		fft.Sequence(frame, spectrum)
		for i, v := range frame {
			if at := start + i; at >= 0 && at < len(x) {
				out[at] += float32(v * window[i] / float64(n))
			}
		}
	}
	copy(x, out)
}

// roundBands rounds real and imaginary parts band by band, in about thirds of an octave.
func roundBands(spectrum []complex128, loss float64) {
	for low := 1; low < len(spectrum); {
		high := min(max(low+3, low+low/4), len(spectrum))
		power := 0.0
		for _, v := range spectrum[low:high] {
			power += real(v)*real(v) + imag(v)*imag(v)
		}
		step := 1.6 * loss * math.Sqrt(power/float64(high-low))
		if step > 0 {
			for i := low; i < high; i++ {
				v := spectrum[i]
				spectrum[i] = complex(math.Round(real(v)/step)*step, math.Round(imag(v)/step)*step)
			}
		}
		low = high
	}
}

// Phone is what the recorder does to the sound.
type Phone struct {
	LowCut  float64 // Hz, second order; 0 means 90
	HighCut float64 // Hz, fourth order; 0 means none but the sample rate's own
	AGC     float64 // ratio of the slow gain control, 1 to 10; 0 and 1 mean none
	ClipDB  float64 // how far the loudest peak would be above full scale; 0 means it stays 3 dB below
	Bits    int     // 4 to 16 bits a sample; 0 means 16
	Coding  float64 // 0 to 1: loss of a low-bit-rate codec, coarse spectra in frames of 32 ms

	Levelling Levelling // a recorder that lifts what is soft
	LimitDB   float64   // how far the loudest peak would be above a fast limiter; 0 means none
	GateDB    float64   // noise gate this far below the loudest 10 ms, less than 0; 0 means none
	// what the strokes lose when somebody moves the phone half way, dB; 0 means that nobody does
	MovedDB float64
}
