package plan

import (
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
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
