package view

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/assess/internal/words"
	"clapladder.example/assess/view/internal/wording"
)

// Standing is what is known of a group, in a few words to be read from afar.
type Standing struct {
	Tier   string // "Tier 3"; empty while none is stated
	Chance string // that it is this one
	More   string // what else may be, or what is missing; may be empty
}

// secondChance is the chance from which another tier is named beside the stated one.
const secondChance = 0.05

// StandingOf puts what is known of a group into a few words.
func StandingOf(g assess.Group) Standing {
	if g.Tier == nil {
		if missing := ability.MinRounds - g.UsableRounds; missing > 0 {
			return Standing{More: words.Count(missing, "more answered round") + " before a tier can be named"}
		}
		return Standing{}
	}
	chances := wording.TierChances(g)
	s := Standing{Tier: wording.Capital(wording.TierName(*g.Tier))}
	if *g.Tier < len(chances) {
		s.Chance = Chance(chances[*g.Tier])
	}
	best := -1
	for t, chance := range chances {
		if t != *g.Tier && chance >= secondChance && (best < 0 || chance > chances[best]) {
			best = t
		}
	}
	if best >= 0 {
		s.More = fmt.Sprintf("or %s, %s", wording.TierName(best), Chance(chances[best]))
	}
	return s
}

// SoFar writes what a report so far adds: its last round, what is known, and what to call next. The
// error is that of w.
func SoFar(w io.Writer, r *assess.Report, s Style) error {
	out := bufio.NewWriter(w)
	t := reportText{out: out, style: s}
	if n := len(r.Rounds); n > 0 {
		last := r.Rounds[n-1]
		t.para(fmt.Sprintf("%2d  ", n), wording.RoundName(last)+": "+wording.RoundResult(last))
	}
	known := StandingOf(r.Group)
	text := known.More
	if known.Tier != "" {
		text = strings.TrimSuffix(s.Bold(known.Tier)+", "+known.Chance+", "+known.More, ", ")
	}
	if text != "" {
		t.para("    ", text)
	}
	if n := r.NextCall; n != nil {
		t.para("    ", "Call next: "+nextCallText(*n))
		for _, line := range notationLines(n.Notation, n.Meter, s, s.width()-6) {
			t.line("      " + line)
		}
	}
	return out.Flush()
}
