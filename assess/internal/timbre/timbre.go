// Package timbre says what single strokes sound like, so that strokes of one source can be told from
// those of another.
//
// Values may be read by many goroutines; nothing that is passed in is changed.
package timbre

import (
	"math"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/robust"
)

// Timbre is what one attack sounds like, in units in which strokes of one source differ by about
// one.
type Timbre [Count]float64

// What a timbre holds.
const (
	Level         = iota // power in all bands
	Thump                // power below 1 kHz over above
	Colour               // share of the power above 3 kHz
	Concentration        // share of the energy in 10 ms
	Count
)

// Units in which two strokes of one source differ by about one. Set by trying on made-up warm-ups
// with and without a kept beat; what a change does is printed by
//
//	SPLIT=tuning go test -run '^$' -bench Quality -benchtime 1x ./assess
const (
	levelUnit  = 2.5   // dB
	thumpUnit  = 4.0   // dB of the low band over the clap band
	colourUnit = 0.07  // share above 3 kHz
	thumpLeast = -12.0 // dB: where the low band hardly sounds, how far below is noise,
	thumpMost  = 10.0  // and so it is where little else does

	// ConcentrationUnit is that of the share of the energy in 10 ms.
	ConcentrationUnit = 0.05
)

// Of reads the timbre of an attack. A stroke that hardly sounds above 1 kHz has no colour to speak
// of, and how far its low band stands above is noise beyond a point.
func Of(x onset.Attack) Timbre {
	return Timbre{
		Level:         x.Level() / levelUnit,
		Thump:         max(thumpLeast, min(thumpMost, x.Thump)) / thumpUnit,
		Colour:        x.Colour * min(1, max(0, (thumpMost-x.Thump)/thumpMost)) / colourUnit,
		Concentration: x.Concentration / ConcentrationUnit,
	}
}

// Like reports whether two timbres differ by no more than within in anything.
func (t Timbre) Like(other Timbre, within float64) bool {
	for k, x := range t {
		if math.Abs(x-other[k]) > within {
			return false
		}
	}
	return true
}

// Distance is how far apart two timbres are, in units.
func (t Timbre) Distance(other Timbre) float64 {
	sum := 0.0
	for k, x := range t {
		sum += (x - other[k]) * (x - other[k])
	}
	return math.Sqrt(sum)
}

// Middle is the median of timbres, each value by itself; of at least one.
func Middle(timbres []Timbre) Timbre {
	var out Timbre
	column := make([]float64, len(timbres))
	for k := range out {
		for i, t := range timbres {
			column[i] = t[k]
		}
		out[k] = robust.Upper(column)
	}
	return out
}
