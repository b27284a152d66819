package people

import (
	"math/rand/v2"
	"slices"

	"clapladder.example/assess/internal/synth/signal"
)

// Attempt is what one person makes of a phrase.
type Attempt struct {
	Strokes  []Note    // ascending
	Got      bool      // the whole phrase
	Mistakes []Mistake // none where it was got
}

// common is what people who fail copy from each other: two slips a group has in common for one
// phrase. Silence is not copied.
type common [2]slip

// DrawCommon draws them for people who are margin tiers below the phrase.
func DrawCommon(margin float64, h Habits, rng *rand.Rand) common {
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

// Try plays the phrase for one person whose luck is even between 0 and 1. difficulty is that of
// this attempt.
func Try(p Phrase, who Person, difficulty, luck float64, shared common, rng *rand.Rand) Attempt {
	whole := slices.Clone(p.Notes)
	if luck < Chance(who.Level, difficulty, who.Habits.Slope()) {
		return Attempt{Strokes: who.Habits.slipped(whole, rng), Got: true}
	}
	margin := difficulty - who.Level
	wanted := 1
	if rng.Float64() < signal.Clamp(0.25+0.12*margin, 0.05, 0.8) {
		wanted = 2
	}
	a := Attempt{Strokes: whole}
	for range 12 { // slips that do not fit the phrase are drawn again
		if len(a.Mistakes) == wanted || slices.Contains(a.Mistakes, Silent) {
			break
		}
		s := shared.draw(margin, who.Habits, rng)
		if slices.Contains(a.Mistakes, s.kind) {
			continue
		}
		if out, ok := s.apply(p, a.Strokes); ok {
			a.Strokes, a.Mistakes = out, append(a.Mistakes, s.kind)
		}
	}
	if len(a.Mistakes) == 0 {
		a.Strokes, a.Mistakes = nil, []Mistake{Silent}
	}
	return a
}
