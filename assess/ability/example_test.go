package ability_test

import (
	"cmp"
	"fmt"
	"slices"

	"clapladder.example/assess/ability"
)

// Five phrases of the bank were called to about 25 people; a phone heard which
// share of them came back.
var rounds = []ability.Observation{
	{Item: "gangway", Difficulty: 2, DifficultySD: 0.4, Share: 0.93, ShareSD: 0.1, People: 25},
	{Item: "mainsail", Difficulty: 3, DifficultySD: 0.4, Share: 0.88, ShareSD: 0.1, People: 25},
	{Item: "fender", Difficulty: 4, DifficultySD: 0.4, Share: 0.66, ShareSD: 0.1, People: 25},
	{Item: "ebb tide", Difficulty: 5, DifficultySD: 0.4, Share: 0.52, ShareSD: 0.1, People: 25},
	{Item: "bowline", Difficulty: 6, DifficultySD: 0.4, Share: 0.34, ShareSD: 0.1, People: 25},
}

func ExampleEstimate() {
	r, err := ability.Estimate(ability.Settings{Tiers: 9}, rounds)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("level %.1f, 90 %% between %.1f and %.1f, people %v\n", r.Level, r.LevelLow,
		r.LevelHigh, r.Mix)
	fmt.Printf("comfort tier %d, chance %.2f\n", r.Tier, r.TierChances[r.Tier-1])
	fmt.Printf("a phrase of difficulty 4: %.0f %% expected, enough of them with chance %.2f\n",
		100*r.Posterior().Share(4), r.Posterior().ChanceManaged(4, 0, 0.7))
	// Output:
	// level 5.1, 90 % between 4.4 and 5.8, people some spread
	// comfort tier 4, chance 0.60
	// a phrase of difficulty 4: 72 % expected, enough of them with chance 0.62
}

func ExampleSession() {
	session, err := ability.NewSession(ability.Settings{Tiers: 9})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, o := range rounds {
		if err := session.Add(o); err != nil {
			fmt.Println(err)
			return
		}
		r := session.Result()
		fmt.Printf("%-8s level %.1f ± %.1f", o.Item, r.Level, r.LevelSD)
		if r.Stated {
			fmt.Printf(", comfort tier %d", r.Tier)
		}
		fmt.Println()
	}
	// Output:
	// gangway  level 5.7 ± 1.5
	// mainsail level 5.8 ± 1.3
	// fender   level 5.2 ± 0.8
	// ebb tide level 5.1 ± 0.5, comfort tier 4
	// bowline  level 5.1 ± 0.4, comfort tier 4
}

// Of the phrases that could be called next the one that tells most is chosen.
func ExampleScorer() {
	session, err := ability.NewSession(ability.Settings{Tiers: 9})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, o := range rounds[:2] {
		if err := session.Add(o); err != nil {
			fmt.Println(err)
			return
		}
	}
	bank := []float64{1, 2.5, 4.2, 5.5, 7, 9}
	scorer, err := ability.NewScorer(ability.Noise{ShareSD: 0.1, DifficultySD: 0.4, People: 25}, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	ranked, err := scorer.Rank(session.Posterior(), bank)
	if err != nil {
		fmt.Println(err)
		return
	}
	next := slices.MaxFunc(ranked, func(a, b ability.Candidate) int {
		return cmp.Compare(a.Information, b.Information)
	})
	fmt.Printf("call the phrase of difficulty %.1f: %.0f %% are expected to get it\n",
		next.Difficulty, 100*next.Share)
	// Output:
	// call the phrase of difficulty 7.0: 29 % are expected to get it
}

// Without a recorder the leader's ear is enough.
func ExampleVerdict() {
	r, err := ability.Estimate(ability.Settings{Tiers: 9}, []ability.Observation{
		{Item: "gangway", Difficulty: 2, DifficultySD: 0.4, Verdict: ability.Got},
		{Item: "mainsail", Difficulty: 3, DifficultySD: 0.4, Verdict: ability.Got},
		{Item: "fender", Difficulty: 4, DifficultySD: 0.4, Verdict: ability.Partly},
		{Item: "bowline", Difficulty: 6, DifficultySD: 0.4, Verdict: ability.Lost},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("comfort tier %d, level %.1f ± %.1f\n", r.Tier, r.Level, r.LevelSD)
	// Output:
	// comfort tier 3, level 4.6 ± 0.8
}
