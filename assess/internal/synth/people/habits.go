package people

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"clapladder.example/assess/internal/synth/signal"
)

// Habits are ways in which the people of one group may differ from those of another, besides level
// and looseness. The zero value is the usual group.
type Habits struct {
	Steepness float64 // of everybody's chance to get a phrase, 1/tier; 0 means 1
	Mistakes  uint64  // seed of another mix of mistakes; 0 is the usual one
	// share of the mistakes that are copied from a neighbour; 0 means 0.55, less than 0 none
	Copying    float64
	Slip       float64 // chance of each stroke to be missing although the phrase was got
	LostLooser float64 // how much looser those clap who lost the phrase; 0 means 1.3
	Even       float64 // 0: the better people are the steadier; 1: everybody is as steady
}

// Slope is the steepness in force.
func (h Habits) Slope() float64 { return cmp.Or(h.Steepness, 1) }

func (h Habits) copying() float64 {
	if h.Copying == 0 {
		return 0.55
	}
	return math.Max(h.Copying, 0)
}

// slipped leaves out a stroke now and then, but never all.
func (h Habits) slipped(in []Note, rng *rand.Rand) []Note {
	if h.Slip == 0 || len(in) < 2 {
		return in
	}
	first := in[0]
	in = slices.DeleteFunc(in, func(Note) bool { return rng.Float64() < h.Slip })
	if len(in) == 0 {
		in = append(in, first)
	}
	return in
}

// weighted is a mistake with how often it is made.
type weighted struct {
	kind   Mistake
	weight float64
}

// otherMistakes is another group's mix: each mistake up to some times as frequent or as rare, with
// some that usual groups do not make.
func (h Habits) otherMistakes(usual []weighted) []weighted {
	rng := rand.New(rand.NewPCG(h.Mistakes, 2))
	out := append([]weighted{{Patchy, 1.5}, {Followed, 1.2}}, usual...)
	for i := range out {
		out[i].weight *= math.Exp(0.8 * signal.Clamp(rng.NormFloat64(), -2, 2))
	}
	return out
}
