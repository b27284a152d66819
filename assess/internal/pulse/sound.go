package pulse

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/onset"
)

// sound is what one attack sounds like, in units in which strokes of one source differ by about one.
type sound [soundCount]float64

const (
	level = iota
	thump
	colour
	concentration
	soundCount
)

// soundOf reads the sound of an attack. A stroke that hardly sounds above 1 kHz has no colour to
// speak of, and how far its low band stands above is noise beyond a point.
func soundOf(x onset.Attack) sound {
	return sound{
		level:         (10*math.Log10(x.Power+1e-20) + 10*math.Log10(1+math.Pow(10, x.Thump/10))) / levelUnit,
		thump:         max(thumpLeast, min(thumpMost, x.Thump)) / thumpUnit,
		colour:        x.Colour * min(1, max(0, (thumpMost-x.Thump)/thumpMost)) / colourUnit,
		concentration: x.Concentration / concentrationUnit,
	}
}

// like reports whether two sounds differ by no more than within in anything.
func (s sound) like(other sound, within float64) bool {
	for k, x := range s {
		if math.Abs(x-other[k]) > within {
			return false
		}
	}
	return true
}

// distance is how far apart two sounds are, in units.
func (s sound) distance(other sound) float64 {
	sum := 0.0
	for k, x := range s {
		sum += (x - other[k]) * (x - other[k])
	}
	return math.Sqrt(sum)
}

// middle is the median of sounds, each value by itself; of at least one.
func middle(sounds []sound) sound {
	var out sound
	column := make([]float64, len(sounds))
	for k := range out {
		for i, s := range sounds {
			column[i] = s[k]
		}
		slices.Sort(column)
		out[k] = column[len(column)/2]
	}
	return out
}
