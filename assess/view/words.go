package view

import (
	"cmp"

	"clapladder.example/assess"
	"clapladder.example/assess/internal/words"
	"clapladder.example/assess/plan"
	"clapladder.example/assess/view/internal/wording"
)

// Chance writes a probability, 0 to 1, in whole per cent, never as certain: "82 %", "over 99 %",
// "under 1 %".
func Chance(p float64) string { return words.Chance(p) }

// Count writes a number of things: "1 round", "3 rounds".
func Count(n int, noun string) string { return words.Count(n, noun) }

// pulseAndPattern says what pulse and pattern mean together; empty where there is nothing to say.
func pulseAndPattern(g assess.Group) string {
	if g.Pulse == nil {
		return ""
	}
	text := "On the beat " + words.AboutShare(*g.Pulse)
	if g.Pattern == nil {
		return text + "; nothing was called off the beat."
	}
	text += ", off the beat " + words.AboutShare(*g.Pattern)
	switch gap := *g.Pulse - *g.Pattern; {
	case *g.Pulse < 0.5:
		return text + ": the pulse itself needs work first."
	case gap > 0.25:
		return text + ": they keep the pulse and lose the pattern."
	case gap > 0.1:
		return text + ": the pulse is firmer than the pattern."
	}
	return text + ": pulse and pattern hold together."
}

// Caution is what has to stand beside every result.
const Caution = "This is about one warm-up, not about people. Hearing few hands does not mean " +
	"low ability: soft, seated or one-handed clapping is heard as less."

// role says what a suggestion is for, as a heading.
func role(r plan.Role) string {
	switch r {
	case plan.Safe:
		return "Safe start"
	case plan.Main:
		return "Open with"
	case plan.Stretch:
		return "Step up to"
	case plan.Fallback:
		return "Fall back to"
	case plan.Split:
		return "If mixed"
	}
	return string(r)
}

// chosen lists what a leader chooses from, the main choice first, without what to fall back to.
func chosen(openers []assess.Opener) []assess.Opener {
	var out []assess.Opener
	for _, r := range []plan.Role{plan.Main, plan.Safe, plan.Stretch, plan.Split} {
		for _, o := range openers {
			if o.Role == r {
				out = append(out, o)
			}
		}
	}
	return out
}

// fallbackFor finds what to fall back to from the choice with a role.
func fallbackFor(openers []assess.Opener, r plan.Role) (assess.Opener, bool) {
	for _, o := range openers {
		if o.Role == plan.Fallback && o.For == r {
			return o, true
		}
	}
	return assess.Opener{}, false
}

// first is the first suggestion with one of the roles, in order of preference.
func first(openers []assess.Opener, roles ...plan.Role) (assess.Opener, bool) {
	for _, r := range roles {
		for _, o := range openers {
			if o.Role == r {
				return o, true
			}
		}
	}
	return assess.Opener{}, false
}

// title names a suggested piece and part.
func title(o assess.Opener) string {
	name := cmp.Or(o.Name, o.Piece)
	if o.Part != "" {
		name += ", part " + o.Part
	}
	return name
}

// Number writes a number with at most the given decimals, without zeros at the end.
func Number(x float64, decimals int) string { return wording.Number(x, decimals) }
