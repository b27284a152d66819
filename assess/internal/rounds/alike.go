package rounds

import (
	"math"

	"clapladder.example/assess/internal/transcribe"
	"clapladder.example/rhythm"
)

// Phrases may sound alike: stamps and claps in one rhythm are the rhythm of claps alone. Of such
// phrases the plain one is meant, unless the strokes differ in sound where the other has it so.

// soundsCost is what the sounds of a phrase cost: least where it has others than claps and the
// attacks that its notes met sound so, most where they do not.
func (p *pass) soundsCost(t *template, matched []int) float64 {
	switch {
	case t.plain:
		return transcribe.PlainPreferred / 2
	case p.soundAsWritten(t, matched):
		return 0
	}
	return transcribe.PlainPreferred
}

// soundAsWritten reports whether strokes of two kinds differ in sound as they do in the phrase, or
// those of a phrase of stamps or pats alone are low.
func (r *recording) soundAsWritten(t *template, matched []int) bool {
	var n, low, colour, thump [2]float64
	strokes := t.phrase.Strokes()
	for i, k := range matched {
		if k < 0 {
			continue
		}
		other := 0
		if strokes[i].Sound != rhythm.Clap {
			other = 1
		}
		n[other]++
		low[other] += float64(kind(r.attacks[k]))
		colour[other] += r.attacks[k].Colour
		thump[other] += r.attacks[k].Thump
	}
	switch {
	case n[1] == 0:
		return false
	case n[0] == 0:
		return low[1] > n[1]/2
	}
	apart := func(sum [2]float64, sd float64) float64 {
		return math.Abs(sum[0]/n[0]-sum[1]/n[1]) / sd
	}
	return apart(low, 1) > soundsApart/2 || apart(colour, colourSD) > soundsApart ||
		apart(thump, thumpSD) > soundsApart
}
