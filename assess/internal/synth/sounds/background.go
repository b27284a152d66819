package sounds

import (
	"math"
	"math/cmplx"
	"math/rand/v2"

	"clapladder.example/assess/internal/synth/signal"
)

// NoiseFloor fills dst with ventilation and hiss: noise that falls by about 4 dB an octave above 60
// Hz, and a faint hum of the mains.
func NoiseFloor(dst []float32, fs float64, rng *rand.Rand) {
	// Sums of one-pole low-passed noise approximate a gentle slope.
	poles := []float64{60, 250, 1000, 4000}
	weights := []float64{1, 0.75, 0.55, 0.45}
	states := make([]float64, len(poles))
	coefficients := make([]float64, len(poles))
	for k, hertz := range poles {
		coefficients[k] = signal.OnePole(hertz, fs)
		weights[k] /= math.Sqrt(hertz / 1000) // equal power for each pole before its weight
	}
	scale := math.Sqrt(fs / 16000)
	hum := 0.0
	for i := range dst {
		n := scale * rng.NormFloat64()
		sum := 0.0
		for k := range states {
			states[k] += coefficients[k] * (n - states[k])
			sum += weights[k] * states[k]
		}
		hum += 2 * math.Pi * 100 / fs
		dst[i] += float32(sum + 0.1*math.Sin(hum))
	}
}

// Music adds a loop of eight bars, over and over: plucked chords, a bass, and a small kit, at a
// tempo of its own.
func Music(dst []float32, fs float64, rng *rand.Rand) {
	beat := 60 / signal.Between(rng, 76, 132)
	loop := make([]float64, int(32*beat*fs))
	root := signal.Between(rng, 98, 147)
	minor := rng.IntN(2) == 1
	steps := []float64{0, 7, 9, 5, 0, 5, 7, 7} // semitones of the bars' roots
	third := 4.0
	if minor {
		third, steps = 3, []float64{0, 8, 3, 10, 0, 5, 7, 7}
	}
	semitone := func(n float64) float64 { return root * math.Pow(2, n/12) }
	for bar, step := range steps {
		start := float64(bar) * 4 * beat
		for b := range 4 {
			at := start + float64(b)*beat
			pluck(loop, fs, at, semitone(step)/2, 0.5, 0.35)
			for _, interval := range []float64{0, third, 7, 12} {
				pluck(loop, fs, at+0.5*beat*float64(rng.IntN(2)), semitone(step+interval)*2, 0.16, 0.5)
			}
			if b%2 == 0 {
				pluck(loop, fs, at, 55, 0.9, 0.08)
			}
			for half := range 2 {
				hat(loop, fs, at+0.5*beat*float64(half), 0.12, rng)
			}
		}
	}
	for i := range dst {
		dst[i] += float32(loop[i%len(loop)])
	}
}

// pluck adds a decaying tone with four harmonics; what runs past the end of the loop returns at its
// start.
func pluck(loop []float64, fs, at, hertz, loud, decay float64) {
	start := int(at * fs)
	for h := 1; h <= 4 && hertz*float64(h) < 0.45*fs; h++ {
		fall := decay / float64(h) // high harmonics die first
		turn := cmplx.Rect(math.Exp(-1/fs/fall), 2*math.Pi*hertz*float64(h)/fs)
		z := complex(loud/float64(h*h), 0)
		for i := range int(5 * fall * fs) {
			loop[(start+i)%len(loop)] += imag(z) * math.Min(1, float64(i)/(0.004*fs))
			z *= turn
		}
	}
}

// hat adds a short bright noise.
func hat(loop []float64, fs, at, loud float64, rng *rand.Rand) {
	start := int(at * fs)
	scale := loud * math.Sqrt(fs/16000)
	last := 0.0
	for i := range int(0.08 * fs) {
		n := rng.NormFloat64()
		loop[(start+i)%len(loop)] += scale * (n - last) * math.Exp(-float64(i)/fs/0.015)
		last = n
	}
}

// Bump adds a chair that scrapes or something that knocks, and returns its span in samples.
func Bump(dst []float32, fs float64, at int, rng *rand.Rand) (from, to int) {
	if rng.IntN(2) == 0 {
		return at, Knock(dst, fs, at, rng)
	}
	return at, Scrape(dst, fs, at, rng)
}

// Knock is a dull double blow.
func Knock(dst []float32, fs float64, at int, rng *rand.Rand) int {
	low := signal.Between(rng, 140, 420)
	blow := hit{
		noise: 0.3, noiseDecay: 0.003, noiseHigh: 2000, attack: 0.0006,
		modes: []mode{{low, 0.025, 1}, {2.7 * low, 0.012, 0.5}, {5.1 * low, 0.006, 0.25}},
	}
	end := at
	for k := range 1 + rng.IntN(2) {
		start := at + int(float64(k)*signal.Between(rng, 0.07, 0.18)*fs)
		for i, v := range blow.render(int(fs), [2]float64{1, 1}, rng) {
			if start+i < len(dst) {
				dst[start+i] += float32(v)
				end = max(end, start+i)
			}
		}
	}
	return end
}

// Scrape is a leg over the floor: it sticks and slips, and rings in the wood.
func Scrape(dst []float32, fs float64, at int, rng *rand.Rand) int {
	n := int(signal.Between(rng, 0.2, 0.9) * fs)
	slip := signal.Between(rng, 60, 190)
	wood := []*signal.Biquad{
		signal.BandPass(signal.Between(rng, 300, 700), 4, fs),
		signal.BandPass(signal.Between(rng, 900, 2600), 4, fs),
	}
	phase := 0.0
	for i := range n {
		if at+i >= len(dst) {
			return len(dst)
		}
		x := float64(i) / float64(n)
		phase += slip * (1 + 0.3*x + 0.2*rng.NormFloat64()) / fs
		v := 0.15 * rng.NormFloat64()
		if phase >= 1 {
			phase--
			v += 4 * rng.Float64()
		}
		envelope := math.Sin(math.Pi * x)
		dst[at+i] += float32(envelope * (wood[0].Next(v) + wood[1].Next(v)))
	}
	return at + n
}
