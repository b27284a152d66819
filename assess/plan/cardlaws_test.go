package plan

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
)

// everyWay calls check for all ways through a card.
func everyWay(c *Card, check func(got []bool, calls []CardCall, end *CardEnd)) {
	n := c.Branchings()
	for bits := range 1 << n {
		got := make([]bool, n)
		for k := range got {
			got[k] = bits&(1<<k) != 0
		}
		calls, end := c.Follow(got)
		check(got, calls, end)
	}
}

func TestEveryWayThroughACardKeepsTheManners(t *testing.T) {
	for calls := leastCalls; calls <= mostCalls; calls++ {
		c := newCard(t, slipBank(), CardOptions{Calls: calls})
		assert.Equal(t, calls, c.Calls())
		everyWay(c, func(got []bool, way []CardCall, end *CardEnd) {
			require.Len(t, way, calls)
			require.NotNil(t, end)
			assert.True(t, isPlain(way[0].Rhythm), "begins on plain beats")
			assert.Equal(t, way[0].Phrase, way[len(way)-1].Phrase, "and ends on them")
			seen := map[string]int{}
			for _, call := range way {
				seen[call.Phrase]++
			}
			for id, n := range seen {
				assert.LessOrEqual(t, n, 3, "%s on one way", id)
			}
			ups := 0
			for _, yes := range got {
				if yes {
					ups++
				}
			}
			assert.Equal(t, ups, end.Got)
		})
	}
}

func TestNoCallIsMuchHarderThanTheOneBefore(t *testing.T) {
	phrases := patterns.GradeBank(difficulty.DefaultModel(), bank.Starter())
	for _, o := range []CardOptions{
		{},
		{Tempo: 88},
		{Tempo: 120},
		{Prior: ability.Prior{Level: 3, LevelSD: 1}},
		{Prior: ability.Prior{Level: 7, LevelSD: 1}},
	} {
		for o.Calls = leastCalls; o.Calls <= mostCalls; o.Calls++ {
			most := 0.0
			everyWay(newCard(t, phrases, o), func(_ []bool, way []CardCall, _ *CardEnd) {
				for i := 1; i < len(way); i++ {
					most = max(most, way[i].Difficulty-way[i-1].Difficulty)
				}
			})
			assert.LessOrEqual(t, most, maxStepUp, "%d calls at %g for a level of %g", o.Calls,
				o.Tempo, o.Prior.Level)
			assert.Greater(t, most, leastRise, "but up it goes")
		}
	}
}

func TestGotLeadsToNothingEasierAndLostToNothingHarder(t *testing.T) {
	random := rand.New(rand.NewPCG(16, 7))
	pool := slipBank()
	for range 60 {
		phrases := slices.Clone(pool)
		for i := range phrases { // any difficulty, in any order
			phrases[i].Difficulty = 0.5 + 9*random.Float64()
			phrases[i].Tier = tierscale.Tier(phrases[i].Difficulty)
		}
		random.Shuffle(len(phrases), func(i, j int) { phrases[i], phrases[j] = phrases[j], phrases[i] })
		phrases = phrases[:1+random.IntN(len(phrases))]
		o := CardOptions{Calls: leastCalls + random.IntN(mostCalls-leastCalls+1)}
		if random.IntN(2) == 0 {
			o.Prior = ability.Prior{Level: 1 + 8*random.Float64(), LevelSD: 0.5 + 2*random.Float64()}
		}
		c := newCard(t, phrases, o)
		byPlace, ends := map[string]CardCell{}, map[string]bool{}
		for _, cell := range c.Branch {
			byPlace[cell.Place] = cell
		}
		for _, e := range c.Ends {
			ends[e.Place] = true
		}
		for _, cell := range c.Branch {
			if next, ok := byPlace[cell.Got]; ok {
				assert.GreaterOrEqual(t, next.Difficulty, cell.Difficulty, "%s got", cell.Place)
			} else {
				assert.Contains(t, ends, cell.Got)
			}
			if next, ok := byPlace[cell.Lost]; ok {
				assert.LessOrEqual(t, next.Difficulty, cell.Difficulty, "%s lost", cell.Place)
			} else {
				assert.Contains(t, ends, cell.Lost)
			}
		}
	}
}

func TestNoCallIsHardForThoseWhoLostOne(t *testing.T) {
	c := newCard(t, evenBank(-2, 12, 0.25, 0.5), CardOptions{Prior: ability.Prior{Level: 5, LevelSD: 1.5}})
	for _, cell := range c.Branch {
		least := hardShare
		if cell.Row == 0 {
			least = afterGot
		}
		assert.GreaterOrEqual(t, cell.Share, least, "%s is hard for those who get there", cell.Place)
	}
}

func TestEndsRiseWithWhatWasGotAndAreReachedByEverybodyTogether(t *testing.T) {
	c := newCard(t, slipBank(), CardOptions{})
	reached := 0.0
	for i, e := range c.Ends {
		reached += e.ReachedBy
		sum := 0.0
		for _, chance := range e.Chances {
			sum += chance
		}
		assert.InDelta(t, 1, sum, 1e-9)
		assert.LessOrEqual(t, e.Low, e.Tier)
		assert.GreaterOrEqual(t, e.High, e.Tier)
		within := 0.0
		for tier := e.Low; tier <= e.High; tier++ {
			within += e.Chances[tier]
		}
		assert.GreaterOrEqual(t, within, 0.9)
		if i > 0 {
			assert.GreaterOrEqual(t, e.Tier, c.Ends[i-1].Tier)
		}
	}
	assert.InDelta(t, 1, reached, 1e-9)
}

// The card's arithmetic of ends is checked against groups that walk through it.
func TestEndsSayWhatSimulatedGroupsDo(t *testing.T) {
	const groups, people = 6000, 25
	prior := ability.PriorForTiers(8)
	phrases := slipBank()
	c := newCard(t, phrases, CardOptions{Calls: 8, Prior: prior, People: people})
	rng := rand.New(rand.NewPCG(5, 8))
	reached := make([]float64, len(c.Ends))
	tiers := make([]float64, len(c.Ends))
	for range groups {
		r := newRoom(rng, newSimulated(rng, prior, people), phrases, 0)
		var got []bool
		for range c.Branchings() {
			calls, _ := c.Follow(got)
			heard := r.answer(rng, r.truth[calls[len(calls)-1].Phrase]) + hearingSD*rng.NormFloat64()
			got = append(got, heard > gotCut)
		}
		_, end := c.Follow(got)
		at := slices.IndexFunc(c.Ends, func(e CardEnd) bool { return e.Place == end.Place })
		reached[at]++
		tiers[at] += float64(r.tier(8, ability.DefaultComfort))
	}
	for i, e := range c.Ends {
		assert.InDelta(t, e.ReachedBy, reached[i]/groups, 0.025, e.Place)
		mean := 0.0
		for tier, chance := range e.Chances {
			mean += float64(tier) * chance
		}
		if reached[i] > 200 {
			assert.InDelta(t, mean, tiers[i]/reached[i], 0.25, e.Place)
		}
	}
}
