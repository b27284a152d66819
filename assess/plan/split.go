package plan

import "clapladder.example/patterns"

// A lead part needs enough people to carry it: this share of the group is
// expected to manage it. Our choice, no source.
const carriers = 0.3

// split plans parts for a mixed room, over one piece: a support part that is sure
// to be managed, for those who want a steady job, and a lead part for those who
// want more, the hardest that enough people can carry. Where two pieces offer the
// same, the main choice wins, then the earlier. It returns nil where no piece has
// two parts that fit.
func (c *chooser) split(main int) []Choice {
	var best []Choice
	for k := -1; k < len(c.pieces); k++ {
		i := k
		if k < 0 {
			i = main
		}
		pair, ok := c.pair(c.pieces[i])
		if !ok {
			continue
		}
		if best == nil || betterPair(pair, best) {
			best = pair
		}
	}
	return best
}

func betterPair(a, b []Choice) bool {
	sureA, sureB := a[0].Chance >= mainChance, b[0].Chance >= mainChance
	switch {
	case sureA != sureB:
		return sureA
	case !sureA:
		return a[0].Chance > b[0].Chance
	}
	return a[1].Difficulty > b[1].Difficulty
}

// pair picks the support and the lead part of a piece. A piece without a lead
// part may lead with its core.
func (c *chooser) pair(p patterns.GradedPiece) ([]Choice, bool) {
	support, ok := p.Easiest(patterns.Support)
	if !ok {
		return nil, false
	}
	lead, found := patterns.GradedPart{}, false
	for _, role := range []patterns.Role{patterns.Lead, patterns.Core} {
		for _, part := range p.Parts {
			carried := c.Belief.Share(part.Difficulty) >= carriers
			if part.Role == role && part.Difficulty > support.Difficulty && carried && (!found || part.Difficulty > lead.Difficulty) {
				lead, found = part, true
			}
		}
	}
	if !found {
		return nil, false
	}
	pair := []Choice{c.partChoice(Split, p, support), c.partChoice(Split, p, lead)}
	pair[0].Why = whySupport(pair[0].Chance)
	pair[1].Why = whyLead(lead.Difficulty - support.Difficulty)
	return pair, true
}
