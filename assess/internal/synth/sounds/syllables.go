package sounds

import (
	"math"
	"math/rand/v2"

	"clapladder.example/assess/internal/synth/signal"
)

// consonant starts or ends a syllable.
type consonant uint8

const (
	open consonant = iota // none
	stop                  // p, t, k
	hush                  // s, sh, f
	hum                   // m, n, l: the vowel swells
)

// syllable is one of the words of a phrase.
type syllable struct {
	start, end consonant
	vowel      [3]float64
}

// Words is the words of a phrase, the same for everybody who says them: a syllable a stroke, of which
// there are n.
func Words(n int, rng *rand.Rand) []syllable {
	out := make([]syllable, n)
	for i := range out {
		out[i] = syllable{
			start: []consonant{open, stop, stop, stop, hush, hush, hum, hum}[rng.IntN(8)],
			end:   []consonant{open, open, open, stop, hush, hum}[rng.IntN(6)],
			vowel: vowels[rng.IntN(len(vowels))],
		}
	}
	return out
}

// say adds a syllable whose vowel begins at a sample: what comes before the vowel comes before the
// beat, as people who speak in time do it (the beat of a syllable lies near the start of its vowel;
// Morton, Marcus & Frankish 1976, from memory).
func (v *Voice) say(dst []float32, at int, seconds, loud float64, s syllable) {
	before := func(x float64) int { return max(0, at-int(x*v.fs)) }
	switch s.start {
	case stop:
		v.noise(dst, before(0.018), len(dst), signal.Between(v.rng, 0.01, 0.02), 0.6*loud, 0.05)
	case hush:
		length := signal.Between(v.rng, 0.07, 0.12)
		v.noise(dst, before(length), len(dst), length, 0.3*loud, 0.4)
	}
	at = v.vowel(dst, at, len(dst), math.Min(seconds, 0.3), loud, s.vowel)
	switch s.end {
	case stop:
		v.noise(dst, at+int(0.03*v.fs), len(dst), 0.012, 0.4*loud, 0.05)
	case hush:
		v.noise(dst, at, len(dst), signal.Between(v.rng, 0.06, 0.1), 0.25*loud, 0.3)
	}
}

// SayAll adds words, each a little off its time: seconds from start on, with the seconds that each
// may last.
func (v *Voice) SayAll(
	dst []float32, start float64, times, lengths []float64, spread float64, words []syllable,
) {
	for i, word := range words {
		at := start + times[i] + spread*signal.Clamp(v.rng.NormFloat64(), -2, 2)
		v.say(dst, max(0, int(at*v.fs)), lengths[i], 1+0.15*v.rng.NormFloat64(), word)
	}
}
