package view

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/internal/words"
	"clapladder.example/assess/plan"
	"clapladder.example/assess/view/internal/boxes"
	"clapladder.example/assess/view/internal/wording"
)

// headline is the answer to the three questions of a leader in a break, or what to do where there
// is none.
type headline struct {
	TierLabel, Tier string
	OpenLabel, Open string
	OpenMore        string // about what to open with; may be empty
	BackLabel, Back string
	BackMore        string
	Stated          bool // a tier is stated
}

func headlineOf(r *assess.Report) headline {
	if r.Group.Tier == nil {
		return withoutTier(r)
	}
	g := r.Group
	chances := wording.TierChances(g)
	h := headline{TierLabel: "Below tier 1", OpenLabel: "Open with", BackLabel: "Fall back to", Stated: true}
	if *g.Tier > 0 {
		h.TierLabel = fmt.Sprintf("Tier %d", *g.Tier)
	}
	if *g.Tier < len(chances) {
		h.Tier = fmt.Sprintf("of %d: most likely (%s)%s", len(g.TierProbabilities),
			Chance(chances[*g.Tier]), otherTiers(chances, *g.Tier))
	}
	h.Open, h.Back = "nothing in the repertoire fits", "plain beats on 1, 2, 3, 4"
	switch {
	case warned(r, "nothing-likely"):
		h.Open = "nothing of yours is likely to work yet: stay on the pulse"
	case len(r.Openers) == 0:
		h.Open = "no repertoire was given"
	}
	if o, ok := first(r.Openers, plan.Main, plan.Safe); ok {
		h.Open, h.OpenMore = title(o), chanceText(o)
		if f, ok := fallbackFor(r.Openers, o.Role); ok {
			h.Back, h.BackMore = title(f), chanceText(f)
		} else if f, ok := first(r.Openers, plan.Fallback, plan.Safe); ok && f != o {
			h.Back, h.BackMore = title(f), chanceText(f)
		}
	}
	return h
}

// withoutTier says what is missing and what to do.
func withoutTier(r *assess.Report) headline {
	answered := slices.ContainsFunc(r.Rounds,
		func(x assess.Round) bool { return x.Response != nil || x.Heard != "" || x.Share != nil })
	h := headline{TierLabel: "No tier yet", OpenLabel: "Do now", BackLabel: "Until then"}
	h.Back = "play what everybody can clap: plain beats on 1, 2, 3, 4"
	if f := r.Recording.Flattened; f != nil && f.Severe {
		h.Tier, h.Open = flattenedText(f.Kind)
		return h
	}
	listened := !slices.Contains([]string{"tally", "taps", "session"}, r.Recording.Format)
	switch {
	case !listened && len(r.Rounds) == 0:
		h.Tier = "there is no round yet"
		h.Open = "call plain beats first, then a few phrases"
	case r.Recording.Heard == "too-few" && !answered:
		h.Tier = "too few rounds to tell whether it is call and response"
		h.Open = "call at least four phrases, let them answer each; record again"
	case r.Recording.Heard != "" && !answered:
		h.Tier = "no call and response heard" + instead[r.Recording.Heard]
		h.Open = "call plain beats, let them answer, phone between you; record again"
	case len(r.Rounds) == 0:
		h.Tier = "no call with an answer was heard in " + durationText(r.Recording.Duration)
		h.Open = "phone nearer; call plain beats, let them answer, record again"
	case !answered && !listened:
		h.Tier = words.Count(len(r.Rounds), "call") + ", but no answer"
		h.Open = "take the answers down too: they say what the group can do"
	case !answered:
		h.Tier = words.Count(len(r.Rounds), "call") + " heard, but no answer"
		h.Open = "leave time to answer, phone between you and them; record again"
	case listened && r.Group.UsableRounds == 0 && warned(r, "one-person"):
		h.Tier = "one person answered; no tier is stated of one person"
		h.Open = "call to the whole group, phone between you and them"
	default:
		h.Tier = fmt.Sprintf("%s could be used; it takes at least 4",
			words.Count(r.Group.UsableRounds, "round"))
		h.Open = "call a few phrases, the first on plain beats, and score again"
		if !listened {
			h.Open = fmt.Sprintf("call %s more and take down what comes back",
				words.Count(max(1, 4-r.Group.UsableRounds), "phrase"))
		}
	}
	if o, ok := first(r.Openers, plan.Safe, plan.Fallback, plan.Main); ok {
		h.Back, h.BackMore = "open with "+title(o), chanceText(o)
	}
	return h
}

// warned reports whether a report warns of something.
func warned(r *assess.Report, code string) bool {
	return slices.ContainsFunc(r.Warnings, func(w assess.Warning) bool { return w.Code == code })
}

// instead says in few words what a recording without call and response sounds like.
var instead = map[string]string{
	"one-person": ": one person plays alone",
	"ticking":    ": steady ticking or beeps",
	"knocking":   ": knocks, typing or other single strokes",
	"speech":     ": mostly speech",
	"music":      ": music or drums",
	"noise":      ": mostly noise",
	"little":     ": hardly a stroke in it",
}

// flattenedText says why a flattened recording gives no tier, and what to change.
func flattenedText(kind string) (tier, advice string) {
	if kind == "levelled" || kind == "gain-riding" {
		return "the phone levels loud and soft, so nobody can tell how many clapped",
			"switch automatic level and voice mode off, record again"
	}
	return "too loud for the phone, so nobody can tell how many clapped",
		"put the phone further away or turn its level down, record again"
}

// otherTiers lists the likeliest tiers beside the stated one.
func otherTiers(chances []float64, stated int) string {
	type likely struct {
		tier   int
		chance float64
	}
	var all []likely
	for tier, p := range chances {
		if tier != stated && p >= 0.05 {
			all = append(all, likely{tier, p})
		}
	}
	slices.SortStableFunc(all, func(a, b likely) int {
		switch {
		case a.chance > b.chance:
			return -1
		case a.chance < b.chance:
			return 1
		}
		return 0
	})
	var parts []string
	for i, l := range all {
		if i == 2 {
			break
		}
		parts = append(parts, wording.TierName(l.tier)+": "+Chance(l.chance))
	}
	if len(parts) == 0 {
		return ""
	}
	return "; " + strings.Join(parts, ", ")
}

func chanceText(o assess.Opener) string {
	return fmt.Sprintf("(%s), %s likely to work", wording.TierName(o.Tier), Chance(o.Chance))
}

func durationText(seconds float64) string {
	if seconds <= 0 {
		return "it"
	}
	return wording.Clock(seconds) + " minutes"
}

func nextCallText(n assess.NextCall) string {
	name := cmp.Or(n.Name, n.Phrase)
	text := fmt.Sprintf("%s (difficulty %.1f)", name, n.Difficulty)
	if n.Why != "" {
		text += ", " + n.Why
	}
	return strings.TrimRight(text, ".") + "."
}

// notationLines draws a phrase alone; where it can't be read, as it stands.
func notationLines(notation, meter string, s Style, columns int) []string {
	p, err := boxes.Parse(notation, meter)
	if err != nil {
		return []string{notation}
	}
	return gridText(boxes.OfPhrase(p), s, columns)
}
