// Package wording is what texts, pages and pictures of a report say in the same words: names and
// results of rounds, tiers and levels, numbers and times, and how wide text is.
package wording

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"clapladder.example/assess"
	"clapladder.example/assess/internal/words"
)

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

// Clock writes seconds as minutes and seconds.
func Clock(seconds float64) string {
	whole := int(math.Max(0, seconds))
	return fmt.Sprintf("%d:%02d", whole/60, whole%60)
}

// TierChances gives the chance of each tier from 0 to the highest.
func TierChances(g assess.Group) []float64 {
	below := 1.0
	for _, p := range g.TierProbabilities {
		below -= p
	}
	return append([]float64{max(0, below)}, g.TierProbabilities...)
}

// TierName says a tier in words.
func TierName(tier int) string {
	if tier <= 0 {
		return "below tier 1"
	}
	return "tier " + strconv.Itoa(tier)
}

// LevelText says the level and the mix of a group that has one.
func LevelText(g assess.Group) string {
	text := fmt.Sprintf("A tier is the hardest step that %.0f in 10 manage. ", 10*g.Comfort)
	text += fmt.Sprintf("Level: half the group would manage difficulty %.1f", *g.Ability)
	if g.AbilityInterval != nil {
		text += fmt.Sprintf(" (probably %.1f to %.1f)", g.AbilityInterval[0], g.AbilityInterval[1])
	}
	text += ", from " + words.Count(g.UsableRounds, "usable round") + "."
	if g.Mix != nil {
		text += " " + Capital(mixText(*g.Mix)) + mixChances(g) + "."
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
			first = words.Chance(p)
		case p >= 0.1:
			rest = append(rest, mixes[i].short+" "+words.Chance(p))
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

// RoundName names what was called.
func RoundName(r assess.Round) string {
	name := "Made up on the spot"
	if r.Phrase != nil {
		name = r.Name
		if name == "" {
			name = *r.Phrase
		} else if name != *r.Phrase {
			name += " (" + *r.Phrase + ")"
		}
	}
	if r.Attempt > 1 {
		name += fmt.Sprintf(", answer %d", r.Attempt)
	}
	return name
}

// RoundResult says who got it, or why that is not known.
func RoundResult(r assess.Round) string {
	switch {
	case r.Heard == "partly":
		return "partly got it"
	case r.Heard == "got":
		return "got it"
	case r.Heard == "lost":
		return "lost it"
	case r.Response == nil && r.Share == nil:
		return "nobody answered"
	case r.Share == nil:
		return "not measured"
	case !r.Usable:
		return "does not count"
	}
	return words.AboutShare(*r.Share) + " got it"
}

func mixText(mix string) string {
	if text, ok := mixAdvice[mix]; ok {
		return text
	}
	return mix
}

// Capital gives a sentence its first letter and takes its full stop.
func Capital(text string) string {
	text = strings.TrimRight(text, ".")
	r, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return text
	}
	return string(unicode.ToUpper(r)) + text[n:]
}
