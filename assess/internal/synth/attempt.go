package synth

import (
	"math/rand/v2"
	"slices"
)

// attempt is what one person makes of a phrase.
type attempt struct {
	strokes  []played
	got      bool
	mistakes []Mistake
}

// common is what people who fail copy from each other: two slips a group has in common for one
// phrase. Silence is not copied.
type common [2]slip

func drawCommon(margin float64, h Habits, rng *rand.Rand) common {
	var c common
	for i := range c {
		for c[i] = h.drawSlip(margin, rng); c[i].kind == Silent; {
			c[i] = h.drawSlip(margin, rng)
		}
	}
	return c
}

// draw draws the slip of one person: usually more than half copy their neighbours.
func (c common) draw(margin float64, h Habits, rng *rand.Rand) slip {
	copied := h.copying()
	switch u := rng.Float64(); {
	case u < copied*8/11:
		return c[0]
	case u < copied:
		return c[1]
	default:
		return h.drawSlip(margin, rng)
	}
}

// try plays the phrase for one person whose luck is even between 0 and 1. difficulty is that of
// this attempt.
func try(p Phrase, who person, difficulty, luck float64, shared common, rng *rand.Rand) attempt {
	whole := notesOf(p)
	if luck < chance(who.level, difficulty, who.habits.steepness()) {
		return attempt{strokes: who.habits.slipped(whole, rng), got: true}
	}
	margin := difficulty - who.level
	wanted := 1
	if rng.Float64() < clamp(0.25+0.12*margin, 0.05, 0.8) {
		wanted = 2
	}
	a := attempt{strokes: whole}
	for range 12 { // slips that do not fit the phrase are drawn again
		if len(a.mistakes) == wanted || slices.Contains(a.mistakes, Silent) {
			break
		}
		s := shared.draw(margin, who.habits, rng)
		if slices.Contains(a.mistakes, s.kind) {
			continue
		}
		if out, ok := s.apply(p, a.strokes); ok {
			a.strokes, a.mistakes = out, append(a.mistakes, s.kind)
		}
	}
	if len(a.mistakes) == 0 {
		a.strokes, a.mistakes = nil, []Mistake{Silent}
	}
	return a
}
