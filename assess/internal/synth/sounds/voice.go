package sounds

import (
	"math"
	"math/rand/v2"

	"clapladder.example/assess/internal/synth/signal"
)

// vowels are the first three formants of American English men in Hz (Peterson & Barney 1952,
// averages; from memory).
var vowels = [][3]float64{
	{270, 2290, 3010},
	{390, 1990, 2550},
	{530, 1840, 2480},
	{660, 1720, 2410},
	{730, 1090, 2440},
	{570, 840, 2410},
	{440, 1020, 2240},
	{300, 870, 2240},
	{640, 1190, 2390},
	{490, 1350, 1690},
}

// Voice speaks nonsense: syllables of vowels between hisses, pops and hums, with pauses for breath.
// A source of pulses runs through four resonators in cascade (a formant synthesiser after Klatt
// 1980, much simplified).
type Voice struct {
	rng    *rand.Rand
	fs     float64
	pitch  float64 // Hz
	tract  float64 // factor on the formants: 1 for a man, 1.17 for a woman, 1.3 for a child
	pace   float64 // syllables a second
	phase  float64
	source float64
	reson  [4]resonator
	from   [3]float64 // formants of the last vowel
	hiss   *signal.Biquad
}

// resonator is Klatt's: unit gain at 0 Hz.
type resonator struct{ a, b, c, y1, y2 float64 }

func (r *resonator) tune(hertz, width, fs float64) {
	r.c = -math.Exp(-2 * math.Pi * width / fs)
	r.b = 2 * math.Exp(-math.Pi*width/fs) * math.Cos(2*math.Pi*math.Min(hertz, 0.47*fs)/fs)
	r.a = 1 - r.b - r.c
}

func (r *resonator) next(x float64) float64 {
	y := r.a*x + r.b*r.y1 + r.c*r.y2
	r.y1, r.y2 = y, r.y1
	return y
}

// NewVoice draws a person's voice.
func NewVoice(rate int, rng *rand.Rand) *Voice {
	v := &Voice{rng: rng, fs: float64(rate), pace: signal.Between(rng, 3.5, 5.5), from: vowels[8]}
	switch rng.IntN(3) {
	case 0:
		v.pitch, v.tract = signal.Between(rng, 95, 140), signal.Between(rng, 0.95, 1.05)
	case 1:
		v.pitch, v.tract = signal.Between(rng, 170, 240), signal.Between(rng, 1.12, 1.2)
	default:
		v.pitch, v.tract = signal.Between(rng, 230, 320), signal.Between(rng, 1.22, 1.35)
	}
	v.hiss = signal.BandPass(signal.Between(rng, 3500, 5500), 1.2, v.fs)
	return v
}

// Speak adds talk to dst between two samples. About a quarter of the time is pauses.
func (v *Voice) Speak(dst []float32, from, to int) {
	at := from
	phrase := 4 + v.rng.IntN(8)
	for at < to {
		if phrase == 0 {
			at += int(signal.Between(v.rng, 0.25, 0.9) * v.fs)
			phrase = 4 + v.rng.IntN(10)
			continue
		}
		phrase--
		length := signal.Between(v.rng, 0.75, 1.3) / v.pace
		if phrase == 0 {
			length *= 1.4 // the last syllable of a phrase is longer
		}
		at = v.Syllable(dst, at, to, length, 0.6+0.6*v.rng.Float64())
	}
}

// Syllable adds one consonant and vowel and returns the sample after it, at most to.
func (v *Voice) Syllable(dst []float32, at, to int, length, loud float64) int {
	switch v.rng.IntN(5) {
	case 0: // hiss
		at = v.noise(dst, at, to, signal.Between(v.rng, 0.05, 0.11), 0.25*loud, 0.35)
	case 1: // pop: closure and burst
		at += int(signal.Between(v.rng, 0.03, 0.06) * v.fs)
		at = v.noise(dst, at, to, signal.Between(v.rng, 0.008, 0.02), 0.5*loud, 0.02)
	}
	return v.vowel(dst, at, to, length, loud, vowels[v.rng.IntN(len(vowels))])
}

// vowel adds one vowel and returns the sample after it, at most to.
func (v *Voice) vowel(dst []float32, at, to int, length, loud float64, target [3]float64) int {
	pitch := v.pitch * (1 + 0.12*v.rng.NormFloat64())
	glide := 1 + 0.15*(v.rng.Float64()-0.6)
	n := int(length * 0.8 * v.fs)
	frame := int(0.005 * v.fs)
	gain, tilt := 0.0, signal.OnePole(500, v.fs)
	for i := range n {
		if at+i >= to || at+i >= len(dst) {
			return to
		}
		x := float64(i) / float64(n)
		if i%frame == 0 {
			v.shape(target, math.Min(1, x*2.5))
			gain = loud * math.Pow(math.Sin(math.Pi*math.Min(1, 0.08+0.92*x)), 0.7)
		}
		v.phase += pitch * (1 + (glide-1)*x) / v.fs
		pulse := 0.012 * v.rng.NormFloat64() // breath
		if v.phase >= 1 {
			v.phase--
			pulse += math.Sqrt(v.fs / 16000 * 160 / pitch)
		}
		v.source += tilt * (pulse - v.source)
		y := v.source
		for k := range v.reson {
			y = v.reson[k].next(y)
		}
		dst[at+i] += float32(gain * y)
	}
	v.from = target
	return at + n
}

// shape moves the tract from the last vowel to the next.
func (v *Voice) shape(target [3]float64, x float64) {
	widths := [4]float64{70, 90, 130, 200}
	for k := range v.reson {
		hertz := 3500.0
		if k < 3 {
			hertz = v.from[k] + (target[k]-v.from[k])*x
		}
		v.reson[k].tune(hertz*v.tract, widths[k], v.fs)
	}
}

// noise adds a burst with a rise of the given share of its length.
func (v *Voice) noise(dst []float32, at, to int, seconds, loud, rise float64) int {
	n := int(seconds * v.fs)
	scale := loud * math.Sqrt(v.fs/16000)
	for i := range n {
		if at+i >= to || at+i >= len(dst) {
			return to
		}
		x := float64(i) / float64(n)
		envelope := math.Min(1, x/rise) * (1 - x)
		dst[at+i] += float32(scale * envelope * v.hiss.Next(v.rng.NormFloat64()))
	}
	return at + n
}

// Laugh adds a burst of laughter: breathy calls at about five a second that get softer, each on the
// same open vowel.
func (v *Voice) Laugh(dst []float32, at int) {
	pitch := v.pitch
	defer func() { v.pitch = pitch }()
	v.pitch *= signal.Between(v.rng, 1.3, 1.9)
	v.from = vowels[4]
	calls := 4 + v.rng.IntN(6)
	step := 1 / signal.Between(v.rng, 4.5, 5.5)
	for k := range calls {
		loud := 1 - 0.6*float64(k)/float64(calls)
		start := at + int(float64(k)*step*v.fs)
		start = v.noise(dst, start, len(dst), 0.05, 0.35*loud, 0.3)
		v.Syllable(dst, start, len(dst), step*0.75, loud)
		v.pitch *= 0.97
	}
}
