package difficulty

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// Neighbour is a phrase like another one, somewhat easier or harder.
type Neighbour struct {
	Phrase     rhythm.Phrase // the variant
	Difficulty float64       // by the model
	Changes    []string      // what was changed, one after another, in words
}

// Change is all changes in one line.
func (n Neighbour) Change() string { return strings.Join(n.Changes, "; then ") }

// Limits of the search for neighbours.
const (
	neighbourCount = 5    // neighbours returned
	neighbourNear  = 0.5  // a neighbour one tier away may be this much nearer or farther
	neighbourLeast = 0.03 // tiers that each single change must be worth
	neighbourDepth = 3    // changes on end
	neighbourBeam  = 6    // variants that are changed again
	neighbourMost  = 96   // single changes tried on one phrase
	keptStrokes    = 0.34 // share of the strokes that a variant must keep, to be the same phrase still
)

// Easier returns up to five variants of p about one tier easier that keep its character, the one
// nearest to that first: an off-beat stroke left out, a silent beat filled, a dotted pair evened
// out, an anticipation put on its beat, quick strokes thinned, an earlier end, only the first half,
// the first half twice, one body sound only, a slower tempo. Up to three changes are combined where
// one does not reach. Where nothing comes within half a tier of the aim, the nearest easier
// variants are returned; none for a phrase that can't be made easier, or lies so far beyond the
// scale that three changes don't bring it back.
func (m *Model) Easier(p rhythm.Phrase) []Neighbour { return m.neighbours(p, -1, easierVariants) }

// Harder is the reverse of Easier: an off-beat stroke added, a beat left silent, an even pair
// dotted, a stroke played ahead of its beat, a pair made quicker, the phrase played twice with
// another end, an off-beat accent.
func (m *Model) Harder(p rhythm.Phrase) []Neighbour { return m.neighbours(p, 1, harderVariants) }

// variant is a phrase after one change.
type variant struct {
	phrase rhythm.Phrase
	change string
}

func (m *Model) neighbours(
	p rhythm.Phrase, direction float64, variants func(rhythm.Phrase) []variant,
) []Neighbour {
	if p.IsZero() {
		return nil
	}
	own := m.Unlimited(p)
	aim := tierscale.Clamp(own) + direction
	seen := []Neighbour{{Phrase: p, Difficulty: own}}
	front, found := seen, []Neighbour(nil)
	for range neighbourDepth {
		var next []Neighbour
		for _, base := range front {
			for _, v := range variants(base.Phrase) {
				n := Neighbour{v.phrase, m.Unlimited(v.phrase), append(slices.Clone(base.Changes), v.change)}
				better := (n.Difficulty-base.Difficulty)*direction > neighbourLeast
				if !better || !sameCharacter(p, n.Phrase) || slices.ContainsFunc(seen, n.same) {
					continue
				}
				seen, next = append(seen, n), append(next, n)
			}
		}
		found = append(found, next...)
		sortByAim(found, aim)
		enough := len(found) >= neighbourCount &&
			math.Abs(found[neighbourCount-1].Difficulty-aim) <= neighbourNear
		if len(next) == 0 || enough {
			break
		}
		next = slices.DeleteFunc(next, func(n Neighbour) bool { return (n.Difficulty-aim)*direction > 0 })
		sortByAim(next, aim)
		front = next[:min(neighbourBeam, len(next))]
	}
	return onScale(nearestOf(found, aim), own)
}

// onScale brings difficulties to the limits of the scale and drops what can't be told from own
// there.
func onScale(list []Neighbour, own float64) []Neighbour {
	for i := range list {
		list[i].Difficulty = tierscale.Clamp(list[i].Difficulty)
	}
	return slices.DeleteFunc(list, func(n Neighbour) bool { return n.Difficulty == tierscale.Clamp(own) })
}

// same reports whether two neighbours are the same phrase at the same tempo.
func (n Neighbour) same(other Neighbour) bool {
	return n.Phrase.Equal(other.Phrase) && n.Phrase.Tempo() == other.Phrase.Tempo()
}

// sortByAim puts the nearest to the aim first; a further change weighs a quarter of a tier.
func sortByAim(list []Neighbour, aim float64) {
	distance := func(n Neighbour) float64 { return math.Abs(n.Difficulty-aim) + 0.25*float64(len(n.Changes)) }
	slices.SortStableFunc(list, func(a, b Neighbour) int { return cmp.Compare(distance(a), distance(b)) })
}

// nearestOf keeps what lies near the aim; where nothing does, the nearest ones.
func nearestOf(found []Neighbour, aim float64) []Neighbour {
	near := slices.DeleteFunc(slices.Clone(found), func(n Neighbour) bool {
		return math.Abs(n.Difficulty-aim) > neighbourNear
	})
	if len(near) == 0 {
		near = found
	}
	return slices.Clone(near[:min(neighbourCount, len(near))])
}

// sameCharacter reports whether enough of the strokes of p are left in q, which may be shorter or
// longer.
func sameCharacter(p, q rhythm.Phrase) bool {
	kept, i := 0, 0
	mine, theirs := p.Strokes(), q.Strokes()
	for _, s := range mine {
		at := s.Step * q.StepsPerQuarter()
		for i < len(theirs) && theirs[i].Step*p.StepsPerQuarter() < at {
			i++
		}
		if i < len(theirs) && theirs[i].Step*p.StepsPerQuarter() == at {
			kept++
		}
	}
	return len(theirs) >= 2 && float64(kept) >= keptStrokes*float64(len(mine))
}
