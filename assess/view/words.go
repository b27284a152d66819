package view

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/internal/words"
	"clapladder.example/assess/plan"
)

// Chance writes a probability, 0 to 1, in whole per cent, never as certain: "82 %", "over 99 %",
// "under 1 %".
func Chance(p float64) string { return words.Chance(p) }

// Number writes a number with at most the given decimals, without zeros at the end.
func Number(x float64, decimals int) string {
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// clock writes seconds as minutes and seconds.
func clock(seconds float64) string {
	whole := int(math.Max(0, seconds))
	return fmt.Sprintf("%d:%02d", whole/60, whole%60)
}

// Count writes a number of things: "1 round", "3 rounds".
func Count(n int, noun string) string { return words.Count(n, noun) }

// tierChances gives the chance of each tier from 0 to the highest.
func tierChances(g assess.Group) []float64 {
	below := 1.0
	for _, p := range g.TierProbabilities {
		below -= p
	}
	return append([]float64{max(0, below)}, g.TierProbabilities...)
}

// tierName says a tier in words.
func tierName(tier int) string {
	if tier <= 0 {
		return "below tier 1"
	}
	return "tier " + strconv.Itoa(tier)
}

// levelText says the level and the mix of a group that has one.
func levelText(g assess.Group) string {
	text := fmt.Sprintf("A tier is the hardest step that %.0f in 10 manage. ", 10*g.Comfort)
	text += fmt.Sprintf("Level: half the group would manage difficulty %.1f", *g.Ability)
	if g.AbilityInterval != nil {
		text += fmt.Sprintf(" (probably %.1f to %.1f)", g.AbilityInterval[0], g.AbilityInterval[1])
	}
	text += ", from " + words.Count(g.UsableRounds, "usable round") + "."
	if g.Mix != nil {
		text += " " + capital(mixText(*g.Mix)) + mixChances(g) + "."
	}
	return text
}

// mixes are the words of a report for how differently people do, and how the chance of each is
// said.
var mixes = []struct{ word, short string }{
	{"alike", "alike"},
	{"some spread", "somewhat differently"},
	{"mixed", "very differently"},
}

// mixChances says in parentheses how sure the mix is and what else it may be; from one microphone
// that can seldom be told well.
func mixChances(g assess.Group) string {
	if len(g.MixProbabilities) != len(mixes) {
		return ""
	}
	first := ""
	var rest []string
	for i, p := range g.MixProbabilities {
		switch {
		case mixes[i].word == *g.Mix:
			first = Chance(p)
		case p >= 0.1:
			rest = append(rest, mixes[i].short+" "+Chance(p))
		}
	}
	if len(rest) > 0 {
		first += "; " + strings.Join(rest, ", ")
	}
	return " (" + first + ")"
}

// mixAdvice says what the mix of a group means for a leader.
var mixAdvice = map[string]string{
	"alike":       "people do much alike",
	"some spread": "people do somewhat differently",
	"mixed":       "people do very differently: give an easier part beside the main one",
}

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
	name := o.Name
	if name == "" {
		name = o.Piece
	}
	if o.Part != "" {
		name += ", part " + o.Part
	}
	return name
}
