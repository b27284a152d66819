package plan

import (
	"math"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
)

// Errors of difficulty that differ by less than sdStep make no difference that
// matters to what a call tells; one scorer serves them all.
const (
	sdStep    = 0.1 // tiers
	largestSD = 3.0 // tiers
)

// scorerGroup is the phrases of a bank whose difficulty is equally well known.
type scorerGroup struct {
	scorer       *ability.Scorer
	places       []int // in the bank
	difficulties []float64
}

// newScorerGroups sorts a bank by how well difficulties are known, in the order
// of first mention.
func newScorerGroups(bank []patterns.Graded, mic Microphone) ([]scorerGroup, error) {
	var groups []scorerGroup
	bySD := map[int]int{}
	for i, g := range bank {
		key := 0
		if g.SD > 0 {
			key = int(math.Round(min(g.SD, largestSD) / sdStep))
		}
		k, ok := bySD[key]
		if !ok {
			noise := ability.Noise{
				ShareSD: mic.ShareSD, DifficultySD: float64(key) * sdStep,
				People: mic.People,
			}
			scorer, err := ability.NewScorer(noise, mic.Comfort)
			if err != nil {
				return nil, err
			}
			k = len(groups)
			bySD[key] = k
			groups = append(groups, scorerGroup{scorer: scorer})
		}
		groups[k].places = append(groups[k].places, i)
		groups[k].difficulties = append(groups[k].difficulties, g.Difficulty)
	}
	return groups, nil
}

// forecast returns what each phrase of the bank is expected to bring, by place.
func (c *Caller) forecast(belief *ability.Posterior) []ability.Candidate {
	out := make([]ability.Candidate, len(c.bank))
	for _, group := range c.groups {
		ranked, err := group.scorer.Rank(belief, group.difficulties)
		if err != nil {
			panic(err) // difficulties were checked by NewCaller
		}
		for k, place := range group.places {
			out[place] = ranked[k]
		}
	}
	return out
}
