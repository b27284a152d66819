package plan

import (
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// easierBy is how much easier, in tiers, something must be to be worth falling
// back to.
const easierBy = 0.3

// fallback finds something easier over the same piece: the hardest part that is
// sure to be managed, or else the easiest part; where no part is easier, a
// simpler variant of the rhythm itself, chosen in the same way.
func (c *chooser) fallback(of *Choice) (Choice, bool) {
	best, found := Choice{}, false
	for _, option := range c.easierParts(of) {
		best, found = c.better(best, option, found), true
	}
	if !found {
		for _, option := range c.simplerVariants(of) {
			best, found = c.better(best, option, found), true
		}
	}
	return best, found
}

// better returns the better fallback of two: the harder of two that are sure,
// otherwise the surer, and the first of equals.
func (c *chooser) better(a, b Choice, haveA bool) Choice {
	switch {
	case !haveA:
		return b
	case a.Chance >= fallChance && b.Chance >= fallChance:
		if b.Difficulty > a.Difficulty {
			return b
		}
	case b.Chance > a.Chance:
		return b
	}
	return a
}

func (c *chooser) easierParts(of *Choice) []Choice {
	var options []Choice
	for _, p := range c.pieces {
		if p.ID != of.Piece {
			continue
		}
		for _, part := range p.Parts {
			if part.Difficulty > of.Difficulty-easierBy {
				continue
			}
			option := c.partChoice(Fallback, p, part)
			option.For = of.Role
			option.Why = whyEasierPart(part.Name, of.Difficulty-part.Difficulty)
			options = append(options, option)
		}
	}
	return options
}

// variant is a rhythm made simpler, and how.
type variant struct {
	name, how  string
	phrase     rhythm.Phrase
	difficulty float64 // by the model
}

// simplerVariants grades variants of a choice's rhythm. The leader's own placing of
// the piece carries over: what the model says the change takes off is taken off.
func (c *chooser) simplerVariants(of *Choice) []Choice {
	var options []Choice
	whole := c.Model.Difficulty(of.Phrase)
	for _, v := range variants(c.Model, of.Phrase) {
		eased := max(of.Difficulty+v.difficulty-whole, tierscale.Min)
		if eased > of.Difficulty-easierBy {
			continue
		}
		options = append(options, Choice{
			Role: Fallback, For: of.Role, Piece: of.Piece, Name: of.Name, Tags: of.Tags,
			Part: v.name, Phrase: v.phrase,
			Tier: tierscale.Tier(eased), Difficulty: eased,
			Chance: c.managed(eased, c.Model.SD(v.phrase)),
			Why:    whyVariant(v.how, of.Difficulty-eased),
		})
	}
	return options
}

// variants returns simpler forms of a rhythm: its easier neighbours, and plain
// beats as the last resort.
func variants(m *difficulty.Model, p rhythm.Phrase) []variant {
	if p.IsZero() {
		return nil
	}
	var out []variant
	for _, n := range m.Easier(p) {
		out = append(out, variant{"simpler", n.Change(), n.Phrase, n.Difficulty})
	}
	if plain, err := onBeats(p); err == nil {
		out = append(out, variant{"plain beats", "plain beats at its tempo", plain, m.Difficulty(plain)})
	}
	return out
}

// onBeats is one bar of claps on every beat, in the metre and tempo of p.
func onBeats(p rhythm.Phrase) (rhythm.Phrase, error) {
	strokes := make([]rhythm.Stroke, p.Meter().Beats())
	for i := range strokes {
		strokes[i].Step = p.BeatSteps()[i]
	}
	return rhythm.New(p.Meter(), p.Tempo(), 1, p.StepsPerQuarter(), strokes)
}
