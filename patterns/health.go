package patterns

import (
	"cmp"
	"math"
	"slices"
)

// Limits of a healthy bank. Common practice, no source, but for the step: to change from one
// pattern to the next is as hard as the pattern itself (Duffy & Pearce 2018, PLoS ONE 13:e0205847),
// so steps should be small.
const (
	phrasesPerTier  = 3   // enough to ask twice at a tier and have one left
	twinDistance    = 0.1 // phrases nearer than this tell the same about a group
	disagreementMax = 1.5 // tiers between a placing and the prediction
	stepMax         = 1.0 // tiers between neighbours in the order
)

// Health is what could be better about a bank.
type Health struct {
	Holes         []Hole         // from the lowest tier up
	Twins         []Twin         // the most alike first
	Disagreements []Disagreement // the largest first
	Steps         []Step         // from the easiest up
	Order         []Graded       // a proposed order of all phrases, the easiest first
}

// Hole is a tier, between the easiest and the hardest of the bank, with too few phrases.
type Hole struct {
	Tier, Phrases int // the tier, and how many phrases it has
}

// Twin is a pair of phrases that are nearly the same.
type Twin struct {
	First, Second string  // IDs, in the order of the bank
	Distance      float64 // see Distance
}

// Disagreement is a phrase that the leader places far from where the model does.
type Disagreement struct {
	ID                string  // of the phrase
	Placed, Predicted float64 // by the leader and by the model, on the tier scale
}

// Step is a pair of neighbours in the order with too much between them.
type Step struct {
	From, To string  // IDs
	Tiers    float64 // between them
}

// CheckHealth looks at a bank that [GradeBank] has graded. The slice is not changed.
func CheckHealth(graded []Graded) Health {
	h := Health{Twins: twins(graded), Order: ProposeOrder(graded)}
	perTier := map[int]int{}
	low, high := math.MaxInt, 0
	for i := range graded {
		g := &graded[i]
		perTier[g.Tier]++
		low, high = min(low, g.Tier), max(high, g.Tier)
		if g.Pinned && g.LearnedFrom == 0 && math.Abs(g.placing()-g.Predicted) > disagreementMax {
			h.Disagreements = append(h.Disagreements, Disagreement{g.ID, g.placing(), g.Predicted})
		}
	}
	for tier := low; tier <= high; tier++ {
		if perTier[tier] < phrasesPerTier {
			h.Holes = append(h.Holes, Hole{tier, perTier[tier]})
		}
	}
	slices.SortStableFunc(h.Disagreements, func(a, b Disagreement) int {
		return cmp.Compare(math.Abs(b.Placed-b.Predicted), math.Abs(a.Placed-a.Predicted))
	})
	byDifficulty := slices.Clone(graded)
	slices.SortStableFunc(byDifficulty, func(a, b Graded) int {
		return cmp.Compare(a.Difficulty, b.Difficulty)
	})
	for i := 1; i < len(byDifficulty); i++ {
		if tiers := byDifficulty[i].Difficulty - byDifficulty[i-1].Difficulty; tiers > stepMax {
			h.Steps = append(h.Steps, Step{byDifficulty[i-1].ID, byDifficulty[i].ID, tiers})
		}
	}
	return h
}

// placing is what the leader wrote.
func (g *Graded) placing() float64 {
	if g.Entry.Difficulty > 0 {
		return g.Entry.Difficulty
	}
	return float64(g.Entry.Tier)
}

// orderSlack is how many tiers a phrase may come before an easier one, where that makes the change
// of pattern smaller.
const orderSlack = 0.5

// ProposeOrder puts the phrases in an order of small steps: upwards in difficulty, and among those
// that lie within half a tier of the easiest one left, the one most like the phrase before. The
// slice is not changed.
func ProposeOrder(graded []Graded) []Graded {
	left := slices.Clone(graded)
	slices.SortStableFunc(left, func(a, b Graded) int { return cmp.Compare(a.Difficulty, b.Difficulty) })
	order := make([]Graded, 0, len(left))
	for len(left) > 0 {
		best := 0
		if len(order) > 0 {
			before, nearest := order[len(order)-1].Phrase, math.Inf(1)
			for i := 0; i < min(orderMost,
				len(left)) && left[i].Difficulty <= left[0].Difficulty+orderSlack; i++ {
				if d := distance(before, left[i].Phrase); d < nearest {
					best, nearest = i, d
				}
			}
		}
		order = append(order, left[best])
		left = slices.Delete(left, best, best+1)
	}
	return order
}

// orderMost bounds the phrases compared at each place, so that a bank of thousands stays quick to
// order.
const orderMost = 50
