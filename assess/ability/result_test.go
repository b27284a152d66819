package ability

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func estimate(t testing.TB, rounds ...Observation) Result {
	t.Helper()
	r, err := Estimate(Settings{Tiers: 9}, rounds)
	require.NoError(t, err)
	return r
}

func TestChancesAddUp(t *testing.T) {
	for heard := range len(benchRounds()) + 1 {
		r := estimate(t, benchRounds()[:heard]...)
		require.Len(t, r.TierChances, 9)
		sum := 0.0
		for _, c := range r.TierChances {
			assert.GreaterOrEqual(t, c, 0.0)
			sum += c
		}
		assert.InDelta(t, 1, sum+r.posterior.tierChances(9, 0.7)[0], 1e-9)
		assert.InDelta(t, 1, r.MixChances[0]+r.MixChances[1]+r.MixChances[2], 1e-9)
		assert.Less(t, r.LevelLow, r.Level)
		assert.Less(t, r.Level, r.LevelHigh)
	}
}

func TestTierChancesAreChancesToManageTheTier(t *testing.T) {
	r := estimate(t, benchRounds()...)
	for _, comfort := range []float64{0.3, 0.5, 0.7, 0.9} {
		chances := r.Posterior().tierChances(9, comfort)
		atLeast := 0.0
		for tier := 9; tier >= 1; tier-- {
			atLeast += chances[tier]
			assert.InDelta(t, r.posterior.ChanceManaged(float64(tier), 0, comfort), atLeast, 1e-9)
		}
	}
}

func TestComfortTierIsTheHighestThatEnoughManage(t *testing.T) {
	for _, comfort := range []float64{0.3, 0.5, 0.7, 0.9} {
		r, err := Estimate(Settings{Tiers: 9, Comfort: comfort}, benchRounds())
		require.NoError(t, err)
		require.Positive(t, r.Tier)
		assert.GreaterOrEqual(t, r.posterior.Share(float64(r.Tier)), comfort)
		assert.Less(t, r.posterior.Share(float64(r.Tier+1)), comfort)
	}
}

func TestHarderOrMoreIsLessLikely(t *testing.T) {
	r := estimate(t, benchRounds()...)
	for d := -3.0; d < 12; d += 0.25 {
		assert.Greater(t, r.posterior.Share(d), r.posterior.Share(d+0.25))
		assert.GreaterOrEqual(t, r.posterior.ChanceManaged(d, 0, 0.7), r.posterior.ChanceManaged(d+0.25, 0, 0.7))
		assert.GreaterOrEqual(t, r.posterior.ChanceManaged(d, 0, 0.6), r.posterior.ChanceManaged(d, 0, 0.7))
	}
	assert.InDelta(t, 1, r.posterior.ChanceManaged(-20, 0, 0.7), 1e-6)
	assert.InDelta(t, 0, r.posterior.ChanceManaged(30, 0, 0.7), 1e-6)
	assert.Equal(t, r.posterior.ChanceManaged(4, 0, 0.7), r.Posterior().ChanceManaged(4, math.NaN(), 0.7),
		"no SD is an exact difficulty")
}

func TestUnsureDifficultyPullsTheChanceToTheMiddle(t *testing.T) {
	p := estimate(t, benchRounds()...).Posterior()
	for _, d := range []float64{1, 2, 6, 7} {
		sure, unsure := p.ChanceManaged(d, 0, 0.7), p.ChanceManaged(d, 1, 0.7)
		assert.Less(t, math.Abs(unsure-0.5), math.Abs(sure-0.5))
	}
	assert.InDelta(t, p.ChanceManaged(4, 0, 0.7), p.ChanceManaged(4, 0.01, 0.7), 1e-3)
}

func TestSteepSharesAreAlikeAndFlatOnesMixed(t *testing.T) {
	rounds := func(shares ...float64) []Observation {
		var out []Observation
		for i, share := range shares {
			out = append(out, Observation{
				Difficulty: 2 + float64(i), Share: share, ShareSD: 0.04,
				People: 60,
			})
		}
		return out
	}
	alike := estimate(t, rounds(0.99, 0.96, 0.82, 0.5, 0.18, 0.04, 0.01)...)
	assert.Equal(t, "alike", alike.Mix)
	mixed := estimate(t, rounds(0.82, 0.75, 0.63, 0.5, 0.37, 0.25, 0.18)...)
	assert.Equal(t, "mixed", mixed.Mix)
	assert.Greater(t, mixed.Spread, alike.Spread+1)
	assert.Equal(t, "some spread", estimate(t).Mix, "nothing heard: the usual")
}

func codes(r Result) []string {
	out := []string{}
	for _, w := range r.Warnings {
		out = append(out, w.Code)
	}
	return out
}

func TestWarnings(t *testing.T) {
	shares := func(from float64, shares ...float64) []Observation {
		var out []Observation
		for i, s := range shares {
			out = append(out, Observation{
				Difficulty: from + float64(i), DifficultySD: 0.3,
				Share: s, ShareSD: 0.1, People: 25,
			})
		}
		return out
	}
	for _, tc := range []struct {
		name   string
		rounds []Observation
		codes  []string
	}{
		{"nothing heard", nil, []string{fewRounds}},
		{"three good rounds", shares(3, 0.9, 0.7, 0.5), []string{fewRounds}},
		{"a plain group", append(shares(2, 0.95, 0.85, 0.7, 0.5, 0.3),
			shares(3.3, 0.8, 0.63, 0.45, 0.25)...), []string{}},
		{"harder came back better", shares(2, 0.1, 0.3, 0.6, 0.9, 1), []string{contradictory}},
		{
			"one false start", append(shares(2, 0.95, 0.85, 0.7, 0.5, 0.3, 0.15), shares(2, 0)...),
			[]string{oddRound},
		},
		{"nobody answered", shares(1, 0, 0, 0, 0, 0), []string{allLow, belowBank}},
		{"doubtful before", append(shares(2, 0.95, 0.85, 0.7, 0.5, 0.3, 0.15),
			Observation{Difficulty: 2, ShareSD: 0.1, Doubt: 0.6},
			Observation{Difficulty: 3, ShareSD: 0.1, Doubt: 0.6}), []string{}},
		{"everybody got everything", shares(6, 1, 1, 1, 1), []string{allHigh, aboveBank}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := estimate(t, tc.rounds...)
			got := codes(r)
			if len(tc.codes) > 0 || len(got) > 0 {
				filtered := []string{}
				for _, c := range got {
					if c != loose {
						filtered = append(filtered, c)
					}
				}
				assert.Equal(t, tc.codes, filtered, "%+v", r.Warnings)
			}
			for _, w := range r.Warnings {
				assert.NotEmpty(t, w.Text)
				assert.NotContains(t, w.Text, "%!")
				assert.True(t, strings.HasSuffix(w.Text, "."), w.Text)
			}
		})
	}
}

func TestFewRoundsSaysHowManyMore(t *testing.T) {
	for heard, want := range []string{
		"No usable round: no tier is stated below 4. Call 4 more phrases.",
		"Only 1 usable round: no tier is stated below 4. Call 3 more phrases.",
		"Only 2 usable rounds: no tier is stated below 4. Call 2 more phrases.",
		"Only 3 usable rounds: no tier is stated below 4. Call 1 more phrase.",
	} {
		r := estimate(t, benchRounds()[:heard]...)
		assert.False(t, r.Stated)
		assert.Equal(t, heard, r.Rounds)
		require.NotEmpty(t, r.Warnings)
		assert.Equal(t, want, r.Warnings[0].Text)
	}
	assert.True(t, estimate(t, benchRounds()[:4]...).Stated)
	doubtful := benchRounds()[:4]
	doubtful[2].Doubt = 0.6
	assert.False(t, estimate(t, doubtful...).Stated, "a doubtful round does not count")
}

func TestOddRoundIsNamed(t *testing.T) {
	rounds := benchRounds()
	for i := range rounds {
		rounds[i].Share = []float64{0.95, 0.85, 0.7, 0.5, 0.3}[i%5]
	}
	rounds[5].Share = 0 // difficulty 2, where the others say 0.95
	r := estimate(t, rounds...)
	require.Contains(t, codes(r), oddRound)
	assert.Equal(t, []int{5}, r.Warnings[0].Rounds)
	assert.Contains(t, r.Warnings[0].Text, "Round 6 ")
}

func TestNonsenseIsRefusedWithOneLine(t *testing.T) {
	for want, o := range map[string]Observation{
		"difficulty is NaN; give a number from -50 to 50":        {Difficulty: math.NaN()},
		"difficulty SD is -1; give a number from 0 to 5":         {DifficultySD: -1},
		"share SD is 3; give a number from 0 to 1":               {ShareSD: 3},
		"number of people is -2; give a number from 0 to 100000": {People: -2},
		"doubt is 1.5; give a number from 0 to 1":                {Doubt: 1.5},
		"attempt is -1; give a number from 0 to 1000":            {Attempt: -1},
		"verdict is 9; give a number from 0 to 3":                {Verdict: 9},
	} {
		_, err := Estimate(Settings{Tiers: 9}, []Observation{o})
		var bad *InputError
		require.ErrorAs(t, err, &bad)
		assert.EqualError(t, err, want)
	}
	for _, s := range []Settings{
		{},
		{Tiers: -1},
		{Tiers: 9, Comfort: 1},
		{Tiers: 9, Comfort: math.NaN()},
		{Tiers: 9, Prior: Prior{Level: 3}},
		{Tiers: 9, Prior: Prior{Level: math.Inf(1), LevelSD: 1}},
		{Tiers: 9, Prior: Prior{LevelSD: 1, SpreadMedian: 9}},
	} {
		_, err := NewSession(s)
		assert.Error(t, err, "%+v", s)
	}
}

func TestSoundGroupsAreSeldomDoubted(t *testing.T) {
	doubted := map[string]int{}
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 9))
		c := condition{25, "thirds", 0.5, 0.10}
		g := newCrowd(rng, world{tiers: 9}, c)
		var rounds []Observation
		for i := range 8 {
			stated := 3 + float64(i%5)
			rounds = append(rounds, Observation{
				Difficulty: stated, DifficultySD: c.difficultyError, ShareSD: c.noise, People: c.people,
				Share: g.respond(rng, stated+c.difficultyError*rng.NormFloat64(), c.noise),
			})
		}
		for _, code := range codes(estimate(t, rounds...)) {
			doubted[code]++
		}
	}
	assert.LessOrEqual(t, doubted[contradictory], 2)
	assert.LessOrEqual(t, doubted[oddRound], 6)
}
