package plan

import (
	"math"

	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
)

// A lead part needs enough people to carry it: this share of the group is
// expected to manage it. Our choice, no source.
const carriers = 0.3

// split plans parts for a mixed room, over one piece: a support part, for those who
// want a steady job, and a lead part for those who want more, the hardest that
// enough people can carry. Of the pieces with a support part that is sure to be
// managed it takes the one nearest in difficulty to the main choice, which is the main
// choice itself if it has both parts; where none is sure, the surest. It returns nil where no
// piece has two parts that fit.
func (c *chooser) split(main int) []Choice {
	var best []Choice
	distance := 0.0
	for _, p := range c.pieces {
		pair, ok := c.pair(p)
		if !ok {
			continue
		}
		off := math.Abs(p.Difficulty - c.pieces[main].Difficulty)
		if best == nil || betterPair(pair, best, off, distance) {
			best, distance = pair, off
		}
	}
	return best
}

// betterPair compares two pairs and their distances from the main choice.
func betterPair(a, b []Choice, offA, offB float64) bool {
	sureA, sureB := a[0].Chance >= fallChance, b[0].Chance >= fallChance
	switch {
	case sureA != sureB:
		return sureA
	case !sureA:
		return a[0].Chance > b[0].Chance
	}
	return offA < offB
}

// pair picks the support and the lead part of a piece. A piece without a lead
// part may lead with its core.
func (c *chooser) pair(p patterns.GradedPiece) ([]Choice, bool) {
	support, ok := p.Easiest(bank.Support)
	if !ok {
		return nil, false
	}
	lead, found := patterns.GradedPart{}, false
	for _, role := range []bank.Role{bank.Lead, bank.Core} {
		for _, part := range p.Parts {
			carried := c.Belief.Share(part.Difficulty) >= carriers
			if part.Role == role && part.Difficulty > support.Difficulty && carried &&
				(!found || part.Difficulty > lead.Difficulty) {
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
