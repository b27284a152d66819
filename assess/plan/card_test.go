package plan

import (
	"encoding/json"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

var update = flag.Bool("update", false, "write golden files")

// slipBank is a bank with a fixed difficulty for every phrase, so that a golden
// card does not move when the difficulty model does.
func slipBank() []patterns.Graded {
	var phrases []patterns.Graded
	add := func(id, meter, notation string, hard float64) {
		phrases = append(phrases, patterns.Graded{
			Entry:      bank.Entry{ID: id, Name: id, Phrase: rhythm.MustParse(notation, meter, 96)},
			Difficulty: hard, Predicted: hard, SD: 0.5, Tier: tierscale.Tier(hard),
		})
	}
	add("oar", "4/4", "x x x x", 1)
	add("thwart", "4/4", "x x x .", 1.3)
	add("tiller", "4/4", "x . x x", 1.5)
	add("gunwale", "4/4", "x x xx x", 1.9)
	add("rowlock", "4/4", "xx x x x", 2)
	add("painter", "4/4", "xx xx x x", 2.2)
	add("fender", "4/4", "x xx xx x", 2.4)
	add("waltz", "3/4", "x xx x", 2.5)
	add("cleat", "4/4", "xx . x x", 2.8)
	add("bilge", "4/4", "x xx . x", 3.1)
	add("keel", "4/4", "xx xx . x", 3.2)
	add("rudder", "4/4", "x. xx .x x", 3.5)
	add("transom", "4/4", "xxxx x x x", 3.7)
	add("bulkhead", "4/4", "x.xx x x x", 4)
	add("jig", "6/8", "x.x xxx", 4.1)
	add("stay", "4/4", "xx.x x xx x", 4.3)
	add("shroud", "4/4", ".x x x x", 4.5)
	add("halyard", "4/4", "x .x .x x", 4.8)
	add("sheet", "4/4", "x.x. .xx. x x", 5)
	add("clew", "4/4", ".x .x x x", 5.3)
	add("luff", "4/4", "x.xx .x x .x", 5.6)
	add("leech", "4/4", ".x .x .x x", 6)
	add("batten", "4/4", "..xx .x. x x", 6.2)
	add("boom", "4/4", "x..x ..x. x .x", 6.5)
	add("gaff", "4/4", ".x.x .x.x x x", 6.9)
	add("sevens", "7/8=2+2+3", "xx x. x.x", 7.2)
	add("spinnaker", "4/4", ".x.x .xx. .x x", 7.5)
	add("gale", "4/4", ".xx. x.x. .xx. .x", 8)
	return phrases
}

func newCard(t testing.TB, phrases []patterns.Graded, o CardOptions) *Card {
	c, err := NewCard(phrases, o)
	require.NoError(t, err)
	return c
}

func TestCardForTheEye(t *testing.T) {
	got := cardText(newCard(t, slipBank(), CardOptions{Tempo: 96}))
	path := filepath.Join("testdata", "card.txt")
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

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

func TestTheStarterCardCanComeOutAtEveryTier(t *testing.T) {
	phrases := patterns.GradeBank(difficulty.DefaultModel(), bank.Starter())
	highest := 0
	for _, g := range phrases {
		highest = max(highest, g.Tier)
	}
	for calls := leastCalls; calls <= mostCalls; calls++ {
		for _, comfort := range []float64{0.5, ability.DefaultComfort, 0.9} {
			c := newCard(t, phrases, CardOptions{Calls: calls, Comfort: comfort})
			out := map[int]bool{}
			everyWay(c, func(_ []bool, _ []CardCall, end *CardEnd) {
				require.NotNil(t, end)
				for tier := end.From; tier <= end.To; tier++ {
					out[tier] = true
				}
				assert.True(t, end.From <= end.Tier && end.Tier <= end.To)
			})
			for tier := 1; tier <= highest; tier++ {
				assert.True(t, out[tier], "%d calls at comfort %g: no way leads to tier %d", calls,
					comfort, tier)
			}
			for i, e := range c.Ends[:len(c.Ends)-1] {
				assert.LessOrEqual(t, e.To-e.From, 1, "only the last end is open")
				assert.LessOrEqual(t, c.Ends[i+1].From, e.To+1, "no tier is skipped after %s", e.Place)
			}
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

func TestGaussHermiteRuleIntegratesPolynomialsOfDegreeNineExactly(t *testing.T) {
	// Moments of the standard normal distribution: 1, 0, 1, 0, 3, 0, 15, 0, 105, 0.
	for degree, want := range []float64{1, 0, 1, 0, 3, 0, 15, 0, 105, 0} {
		sum := 0.0
		for _, point := range errorRule() {
			sum += point.weight * math.Pow(point.z, float64(degree))
		}
		assert.InDelta(t, want, sum, 1e-10, "degree %d", degree)
	}
}

func TestOnePulseHoldsForAllCalls(t *testing.T) {
	c := newCard(t, patterns.GradeBank(difficulty.DefaultModel(), bank.Starter()), CardOptions{Tempo: 88})
	everyWay(c, func(_ []bool, way []CardCall, _ *CardEnd) {
		for _, call := range way {
			require.Equal(t, 88.0, call.Tempo)
			require.Equal(t, 88.0, call.Rhythm.Tempo())
		}
	})
}

func TestAtTempoMovesDifficultyByWhatTheModelSays(t *testing.T) {
	m := difficulty.DefaultModel()
	phrases := patterns.GradeBank(m, bank.Starter())
	fast, err := atTempo(m, phrases, 180)
	require.NoError(t, err)
	harder := 0
	for i := range phrases {
		want := phrases[i].Difficulty + m.Difficulty(phrases[i].Phrase.WithTempo(180)) -
			m.Difficulty(phrases[i].Phrase)
		assert.InDelta(t, max(want, tierscale.Min), fast[i].Difficulty, 1e-9)
		if fast[i].Difficulty > phrases[i].Difficulty {
			harder++
		}
	}
	assert.Greater(t, harder, len(phrases)/2)
	assert.NotEqual(t, 180.0, phrases[0].Phrase.Tempo(), "the bank given is not changed")
	_, err = atTempo(m, phrases, math.NaN())
	assert.Error(t, err)
}

func TestBankWithoutPlainBeatsGetsThemFromTheCard(t *testing.T) {
	c := newCard(t, slipBank()[3:], CardOptions{})
	assert.Empty(t, c.Opening[0].Phrase)
	assert.Equal(t, "x x x x", c.Opening[0].Notation)
	assert.Equal(t, c.Opening[0], c.Closing[0])
	assert.Len(t, c.Remarks, 1)
	for _, cell := range c.Branch {
		assert.NotEmpty(t, cell.Phrase)
	}
}

func TestTinyBanksStillMakeACard(t *testing.T) {
	for _, size := range []int{1, 2, 5, 9} {
		c := newCard(t, slipBank()[:size], CardOptions{Calls: 12})
		everyWay(c, func(_ []bool, way []CardCall, end *CardEnd) {
			require.Len(t, way, 12)
			require.NotNil(t, end)
		})
	}
}

func TestFollowStopsAtTheNextCall(t *testing.T) {
	c := newCard(t, slipBank(), CardOptions{})
	calls, end := c.Follow(nil)
	assert.Nil(t, end)
	assert.Equal(t, c.Branch[0].Phrase, calls[len(calls)-1].Phrase)
	calls, end = c.Follow([]bool{true, false})
	assert.Nil(t, end)
	assert.Equal(t, "B2", c.cell(1, 1).Place)
	assert.Equal(t, c.cell(1, 1).Phrase, calls[len(calls)-1].Phrase)
	_, end = c.Follow(make([]bool, 99))
	require.NotNil(t, end)
	assert.Equal(t, "end 1", end.Place)
}

func TestCardSurvivesJSON(t *testing.T) {
	c := newCard(t, slipBank(), CardOptions{Tempo: 96})
	text, err := json.Marshal(c)
	require.NoError(t, err)
	var back Card
	require.NoError(t, json.Unmarshal(text, &back))
	again, err := json.Marshal(&back)
	require.NoError(t, err)
	assert.JSONEq(t, string(text), string(again))
	assert.Equal(t, cardSchema, back.Schema)
	_, end := back.Follow([]bool{true, true, true, true, true, true, true})
	assert.Equal(t, c.Ends[len(c.Ends)-1].Place, end.Place)
}

func TestImpossibleCardsAreErrors(t *testing.T) {
	for _, o := range []CardOptions{
		{Calls: 7},
		{Calls: 13},
		{Tempo: 3},
		{Tempo: math.Inf(1)},
		{Comfort: 2},
		{Prior: ability.Prior{Level: math.NaN(), LevelSD: 1}},
		{People: -3},
	} {
		_, err := NewCard(slipBank(), o)
		assert.Error(t, err, "%+v", o)
	}
	_, err := NewCard(nil, CardOptions{})
	assert.EqualError(t, err, "the bank holds no phrase to call; write at least one")
}

// A small run of the benchmark's simulation: the card must beat a random order by
// far more than chance explains.
func TestCardNeedsFewerCallsThanRandomOrder(t *testing.T) {
	f := simulateCards(t, evenBank(1, 9, 0.25, 0.5), 10, 60, 3)
	saved := 1 - float64(f.calls-f.plain)/f.randomCalls()
	assert.Greater(t, saved, 0.15, "card SD %.3f, random order needs %.1f calls", f.cardSD, f.randomCalls())
}

func BenchmarkNewCard(b *testing.B) {
	phrases := patterns.GradeBank(difficulty.DefaultModel(), bank.Starter())
	for b.Loop() {
		newCard(b, phrases, CardOptions{})
	}
}
