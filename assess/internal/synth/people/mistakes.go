package people

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// Mistake is a typical way of not getting a phrase.
type Mistake string

// The mistakes. Filled rests, early entries and dropped off-beats are common practice, no source;
// shortened long notes, dotted notes stretched toward 2:1 and fewer strokes rather than more were
// measured on takes of a conservatory entrance examination (Köktürk-Güzel et al. 2023, onset lists
// re-analysed); off-beats pulled onto the beat follow Fitch & Rosenfeld 2007.
const (
	DroppedOffbeat  Mistake = "dropped-off-beat"
	FilledRest      Mistake = "filled-rest"
	ShortRest       Mistake = "short-rest"       // everything after a long interval comes early
	MovedToBeat     Mistake = "moved-to-beat"    // an off-beat clapped on the beat beside it
	EvenedDotted    Mistake = "evened-dotted"    // long-short clapped as two equal notes
	StretchedDotted Mistake = "stretched-dotted" // 3:2 clapped as 2:1
	Stopped         Mistake = "stopped"          // half way
	ExtraTail       Mistake = "extra-tail"       // one clap after the end
	EarlyEntry      Mistake = "early-entry"      // all or the first note
	SpedUp          Mistake = "sped-up"          // faster than the others
	PulseOnly       Mistake = "pulse-only"       // the beats instead of the phrase
	Patchy          Mistake = "patchy"           // some strokes here and there are missing
	Followed        Mistake = "followed"         // after a neighbour's claps, late at every stroke
	Silent          Mistake = "silent"
)

// slip is a mistake with the random numbers that say where it happens; two people with the same
// slip make the same mistake at the same place.
type slip struct {
	kind Mistake
	seed uint64
}

// drawSlip draws a mistake of someone who is margin tiers below the phrase: the farther below, the
// less is left of it.
func (h Habits) drawSlip(margin float64, rng *rand.Rand) slip {
	lost := signal.Clamp(0.5+0.35*margin, 0.25, 3)
	weights := []weighted{
		{DroppedOffbeat, 3},
		{FilledRest, 3},
		{ShortRest, 3},
		{MovedToBeat, 2.5},
		{EvenedDotted, 1.5},
		{StretchedDotted, 1},
		{ExtraTail, 1.2},
		{EarlyEntry, 1},
		{SpedUp, 0.7},
		{Stopped, 1.2 * lost},
		{PulseOnly, 1.0 * lost},
		{Silent, 0.8 * lost},
	}
	if h.Mistakes != 0 {
		weights = h.otherMistakes(weights)
	}
	sum := 0.0
	for _, w := range weights {
		sum += w.weight
	}
	at := rng.Float64() * sum
	for _, w := range weights {
		if at -= w.weight; at < 0 {
			return slip{w.kind, rng.Uint64()}
		}
	}
	return slip{Silent, rng.Uint64()}
}

// apply makes the mistake. ok is false where the phrase has no place for it.
func (s slip) apply(p Phrase, in []Note) (out []Note, ok bool) {
	rng := rand.New(rand.NewPCG(s.seed, 1))
	out = slices.Clone(in)
	switch s.kind {
	case DroppedOffbeat:
		return dropOffbeat(p, out, rng)
	case FilledRest:
		return fillRest(p, out, rng)
	case ShortRest:
		return stretchAfter(out, rng, func(interval float64) float64 {
			if interval < 1.9*p.Shortest() {
				return 0
			}
			return -p.Shortest() * (0.5 + 0.5*float64(rng.IntN(2)))
		})
	case StretchedDotted:
		return stretchAfter(out, rng, func(interval float64) float64 {
			if math.Abs(interval-1.5*p.Shortest()) > 1e-6 {
				return 0
			}
			return 0.5 * p.Shortest()
		})
	case MovedToBeat:
		return moveToBeat(p, out, rng)
	case EvenedDotted:
		return evenDotted(out, rng)
	case ExtraTail:
		return addTail(p, out, rng)
	case EarlyEntry:
		return enterEarly(out, rng)
	case SpedUp:
		return speedUp(out, rng)
	case Stopped:
		if len(out) < 2 {
			return out, false
		}
		keep := int(math.Round(float64(len(out)) * signal.Between(rng, 0.3, 0.7)))
		return out[:min(max(keep, 1), len(out)-1)], true
	case PulseOnly:
		return pulseOnly(p, in)
	case Patchy:
		out = slices.DeleteFunc(out, func(Note) bool { return rng.Float64() < 0.35 })
		return out, len(out) < len(in)
	case Followed:
		late := signal.Between(rng, 0.15, 0.35)
		for i := range out {
			out[i].Beat += late
		}
		return out, len(out) > 0
	default:
		return nil, true
	}
}

// pick draws one index for which fits holds, or −1.
func pick(rng *rand.Rand, n int, fits func(i int) bool) int {
	var found []int
	for i := range n {
		if fits(i) {
			found = append(found, i)
		}
	}
	if len(found) == 0 {
		return -1
	}
	return found[rng.IntN(len(found))]
}

// vacant reports whether nobody plays near a position.
func vacant(in []Note, beat float64) bool {
	return !slices.ContainsFunc(in, func(s Note) bool { return math.Abs(s.Beat-beat) < 0.1 })
}

func dropOffbeat(p Phrase, in []Note, rng *rand.Rand) ([]Note, bool) {
	if len(in) < 2 {
		return in, false
	}
	if rng.Float64() < 0.3 { // all of them: what is left is the part of the phrase on the beat
		out := slices.DeleteFunc(slices.Clone(in), func(s Note) bool { return !p.OnBeat(s.Beat) })
		return out, len(out) > 0 && len(out) < len(in)
	}
	i := pick(rng, len(in), func(i int) bool { return !p.OnBeat(in[i].Beat) })
	if i < 0 {
		return in, false
	}
	return slices.Delete(in, i, i+1), true
}

func fillRest(p Phrase, in []Note, rng *rand.Rand) ([]Note, bool) {
	beats := p.Beats()
	i := pick(rng, len(beats), func(i int) bool { return vacant(in, beats[i]) })
	if i < 0 {
		return in, false
	}
	return sorted(append(in, Note{Beat: beats[i], Sound: nearestSound(in, beats[i])})), true
}

// stretchAfter shifts everything after one interval by what change says; 0 means that the interval
// does not fit.
func stretchAfter(in []Note, rng *rand.Rand, change func(interval float64) float64) ([]Note, bool) {
	shifts := make([]float64, len(in))
	for i := 1; i < len(in); i++ {
		shifts[i] = change(in[i].Beat - in[i-1].Beat)
	}
	i := pick(rng, len(in), func(i int) bool { return shifts[i] != 0 })
	if i < 0 {
		return in, false
	}
	for k := i; k < len(in); k++ {
		in[k].Beat += shifts[i]
	}
	return in, true
}

func moveToBeat(p Phrase, in []Note, rng *rand.Rand) ([]Note, bool) {
	i := pick(rng, len(in), func(i int) bool {
		return !p.OnBeat(in[i].Beat) && vacant(in, p.NearestBeat(in[i].Beat))
	})
	if i < 0 {
		return in, false
	}
	in[i].Beat = p.NearestBeat(in[i].Beat)
	return sorted(in), true
}

func evenDotted(in []Note, rng *rand.Rand) ([]Note, bool) {
	i := pick(rng, len(in), func(i int) bool {
		if i == 0 || i == len(in)-1 {
			return false
		}
		ratio := (in[i].Beat - in[i-1].Beat) / (in[i+1].Beat - in[i].Beat)
		return ratio > 2.5 || ratio < 0.4
	})
	if i < 0 {
		return in, false
	}
	in[i].Beat = (in[i-1].Beat + in[i+1].Beat) / 2
	return in, true
}

func addTail(p Phrase, in []Note, rng *rand.Rand) ([]Note, bool) {
	if len(in) == 0 {
		return in, false
	}
	last := in[len(in)-1]
	last.Beat += []float64{p.Shortest(), 1}[rng.IntN(2)]
	last.Accent = false
	return append(in, last), true
}

func enterEarly(in []Note, rng *rand.Rand) ([]Note, bool) {
	if len(in) == 0 {
		return in, false
	}
	early := []float64{0.5, 0.5, 1}[rng.IntN(3)]
	if rng.Float64() < 0.65 {
		in[0].Beat -= early
		return in, true
	}
	for i := range in {
		in[i].Beat -= early
	}
	return in, true
}

func speedUp(in []Note, rng *rand.Rand) ([]Note, bool) {
	if len(in) < 2 {
		return in, false
	}
	factor := signal.Between(rng, 1.08, 1.18)
	for i := range in {
		in[i].Beat = in[0].Beat + (in[i].Beat-in[0].Beat)/factor
	}
	return in, true
}

func pulseOnly(p Phrase, in []Note) ([]Note, bool) {
	beats := p.Beats()
	out := make([]Note, len(beats))
	for i, b := range beats {
		out[i] = Note{Beat: b, Sound: nearestSound(in, b)}
	}
	same := slices.EqualFunc(in, out, func(a, b Note) bool { return math.Abs(a.Beat-b.Beat) < 0.1 })
	return out, !same
}

// nearestSound is what a person who adds a stroke makes it with.
func nearestSound(in []Note, beat float64) sounds.Kind {
	if len(in) == 0 {
		return sounds.Clap
	}
	return slices.MinFunc(in, func(a, b Note) int {
		return cmp.Compare(math.Abs(a.Beat-beat), math.Abs(b.Beat-beat))
	}).Sound
}

func sorted(in []Note) []Note {
	slices.SortStableFunc(in, func(a, b Note) int { return cmp.Compare(a.Beat, b.Beat) })
	return in
}
