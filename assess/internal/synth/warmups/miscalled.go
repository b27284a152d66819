package warmups

import (
	"cmp"
	"math"
	"slices"

	"clapladder.example/assess/internal/synth/people"
)

// miscall changes one stroke of a phrase, as a leader does who has it slightly wrong: one more, one
// fewer, or one on a neighbouring place. The outcome is no phrase of the bank. ok is false where
// nothing is found.
func (w *warmup) miscall(p people.Phrase) (out people.Phrase, ok bool) {
	step := math.Max(0.25, math.Min(0.5, p.Shortest()))
	for range 20 {
		out = p
		out.ID, out.Notes = "", slices.Clone(p.Notes)
		at := w.rng.IntN(len(out.Notes))
		n := &out.Notes[at]
		switch w.rng.IntN(3) {
		case 0:
			out.Notes = append(out.Notes, people.Note{Beat: n.Beat + step, Sound: n.Sound})
		case 1:
			if len(out.Notes) > 3 && at > 0 {
				out.Notes = slices.Delete(out.Notes, at, at+1)
			}
		default:
			n.Beat += step * float64(1-2*w.rng.IntN(2))
		}
		slices.SortFunc(out.Notes, func(a, b people.Note) int { return cmp.Compare(a.Beat, b.Beat) })
		known := slices.ContainsFunc(w.bank, func(i Item) bool { return sameRhythm(i.Phrase, out) })
		if out.Valid() && out.Shortest() > step-0.01 && !known && !sameRhythm(out, p) {
			return out, true
		}
	}
	return p, false
}
