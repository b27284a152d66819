package assess

import (
	"fmt"
	"math"

	"clapladder.example/assess/ability"
)

// Errors of a share as the microphone gives it, found on synthetic warm-ups of the tuning half.
const (
	shareSD         = 0.13
	shareSDRelative = 0.2 // where no phrase was clapped by everybody
	shareSDAlong    = 0.22
)

// observation is what a usable round tells the estimate.
func (h heardRound) observation(r Round, people int) ability.Observation {
	sd := shareSD
	if !h.sure {
		sd = shareSDRelative
	}
	if h.along {
		sd = max(sd, shareSDAlong)
	}
	item := r.Meter + " " + r.Notation
	if r.Phrase != nil {
		item = *r.Phrase
	}
	return ability.Observation{
		Difficulty: h.difficulty, DifficultySD: h.difficultySD, Share: *r.Share, ShareSD: sd,
		People: people, Doubt: min(1-r.Confidence, 0.45), Item: item, Attempt: r.Attempt,
	}
}

// leastRounds is the number of usable rounds below which nothing is stated.
const leastRounds = 4

// conclude estimates the group and adds what follows from it.
func (r *Report) conclude(s *scale, observations []ability.Observation) error {
	g := &r.Group
	g.UsableRounds = len(observations)
	g.Pulse = meanOf(r.Rounds, func(x Round) *float64 { return x.Pulse })
	g.Pattern = meanOf(r.Rounds, func(x Round) *float64 { return x.Pattern })
	r.warnRounds(s)
	posterior, err := estimate(s.prior(), observations)
	if err != nil {
		return fmt.Errorf("estimating the group: %w", err)
	}
	if len(observations) < leastRounds {
		return nil
	}
	level, sd := posterior.Level()
	spread, _ := posterior.Spread()
	low, high := posterior.LevelQuantile(0.05), posterior.LevelQuantile(0.95)
	g.Ability, g.AbilitySD = pointer(rounded(level, 2)), pointer(rounded(sd, 2))
	g.AbilityInterval = &[2]float64{rounded(low, 2), rounded(high, 2)}
	g.AbilitySpread = pointer(rounded(spread, 2))
	for _, chance := range posterior.TierChances(s.highest, s.Comfort) {
		g.TierProbabilities = append(g.TierProbabilities, rounded(chance, 3))
	}
	return nil
}

// estimate takes all tries at one phrase together, in order of first mention.
func estimate(prior ability.Prior, observations []ability.Observation) (*ability.Posterior, error) {
	posterior, err := ability.NewPosterior(prior)
	if err != nil {
		return nil, err
	}
	done := map[string]bool{}
	for _, o := range observations {
		if done[o.Item] {
			continue
		}
		done[o.Item] = true
		var tries []ability.Observation
		for _, other := range observations {
			if other.Item == o.Item {
				tries = append(tries, other)
			}
		}
		if posterior, err = posterior.UpdateTogether(tries); err != nil {
			return nil, err
		}
	}
	return posterior, nil
}

func pointer[T any](x T) *T { return &x }

// means of what was heard on and off the beat, over usable rounds; nil where there is none.
func meanOf(rounds []Round, get func(Round) *float64) *float64 {
	sum, n := 0.0, 0.0
	for _, r := range rounds {
		if x := get(r); r.Usable && x != nil {
			sum, n = sum+*x, n+1
		}
	}
	if n == 0 {
		return nil
	}
	return pointer(rounded(sum/n, 3))
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
