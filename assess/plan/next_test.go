package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

func newCaller(t testing.TB, bank []patterns.Graded) *Caller {
	c, err := NewCaller(bank, Microphone{ShareSD: 0.1, People: 25})
	require.NoError(t, err)
	return c
}

// warmUp lets a simulated group answer calls chosen one after another and hands
// each call to check together with what was believed and called before.
func warmUp(t testing.TB, seed uint64, rounds int,
	check func(belief *ability.Posterior, called []Called, call Call),
) {
	rng := rand.New(rand.NewPCG(seed, 3))
	bank := evenBank(1, 9, 0.5, 0.5)
	caller := newCaller(t, bank)
	prior := ability.PriorForTiers(9)
	r := newRoom(rng, newSimulated(rng, prior, 25), bank, 0.1)
	at, err := ability.NewPosterior(prior)
	require.NoError(t, err)
	var called []Called
	for range rounds {
		call, ok := caller.Next(at, called)
		require.True(t, ok)
		check(at, called, call)
		share := r.hear(rng, call.ID)
		called = append(called, Called{Phrase: call.ID, Share: share})
		at, err = at.Update(r.observe(call.Graded, share))
		require.NoError(t, err)
	}
}

func TestMannersOfLeadingHoldThroughWholeWarmUps(t *testing.T) {
	bank := evenBank(1, 9, 0.5, 0.5)
	kept := 0
	for seed := range uint64(12) {
		var difficulties []float64
		warmUp(t, seed, 10, func(at *ability.Posterior, called []Called, call Call) {
			defer func() { difficulties = append(difficulties, call.Difficulty) }()
			if len(called) == 0 {
				level, _ := at.Level()
				assert.LessOrEqual(t, call.Difficulty, level-firstBelow, "the first call is easy")
				return
			}
			times := map[string]int{}
			for _, c := range called {
				times[c.Phrase]++
			}
			last, previous := called[len(called)-1], difficulties[len(difficulties)-1]
			strained := last.Share < 0.5 || at.Share(previous) < 0.5
			// broken names the first of the manners that a call would break.
			broken := func(g patterns.Graded) string {
				switch {
				case times[g.ID] > 0:
					return "nothing is repeated"
				case g.Difficulty > previous+1.5 &&
					(at.Share(previous) < 0.85 || g.Difficulty > hardestHeld(at, difficulties)+1):
					return "steps up are small"
				case last.Share < 0.5 && g.Difficulty >= previous:
					return "after a lost call comes an easier one"
				case strained && at.Share(g.Difficulty) < 0.5:
					return "never two hard ones in a row"
				}
				return ""
			}
			assert.LessOrEqual(t, times[call.ID], 2, "a phrase is repeated twice at most")
			for _, g := range bank {
				if broken(g) == "" {
					kept++
					assert.Empty(t, broken(call.Graded),
						"%g after %g, while %g would keep all manners", call.Difficulty, previous,
						g.Difficulty)
					break
				}
			}
		})
	}
	assert.Greater(t, kept, 80, "most calls can keep all manners")
}

// hardestHeld is the hardest of some calls that half of the group should get.
func hardestHeld(at *ability.Posterior, difficulties []float64) float64 {
	hardest := 0.0
	for _, d := range difficulties {
		if at.Share(d) >= 0.5 {
			hardest = max(hardest, d)
		}
	}
	return hardest
}

func TestAfterPlainBeatsItGoesOnWhereTheGroupWas(t *testing.T) {
	bank := evenBank(1, 9, 0.25, 0.5)
	at := belief(t, 5, 0.6)
	var called []Called
	for _, d := range []int{0, 8, 12, 16, 1} { // difficulties 1, 3, 4, 5 and plain again
		called = append(called, Called{Phrase: bank[d].ID, Share: 0.8})
	}
	call, ok := newCaller(t, bank).Next(at, called)
	require.True(t, ok)
	assert.Greater(t, call.Difficulty, 3.5, "where the estimate is unsure, not beside the closing beats")
	assert.LessOrEqual(t, call.Difficulty, 6.0)
	assert.NotContains(t, call.Why, "three tiers")
}

func TestNextCallTellsMostAmongThoseAllowed(t *testing.T) {
	bank := evenBank(1, 9, 0.25, 0.5)
	at := belief(t, 5, 1)
	called := []Called{{Phrase: bank[12].ID, Share: 0.8}} // difficulty 4
	call, ok := newCaller(t, bank).Next(at, called)
	require.True(t, ok)
	scorer, err := ability.NewScorer(ability.Noise{ShareSD: 0.1, DifficultySD: 0.5, People: 25}, 0)
	require.NoError(t, err)
	for i, g := range bank {
		if i == 12 || g.Difficulty > 5.5 {
			continue
		}
		other, err := scorer.Rank(at, []float64{g.Difficulty})
		require.NoError(t, err)
		assert.LessOrEqual(t, other[0].Information, call.Information+1e-9, "difficulty %g", g.Difficulty)
	}
}

func TestPhraseIsCalledThreeTimesAtMost(t *testing.T) {
	bank := evenBank(2, 3, 1, 0.5) // two phrases
	caller := newCaller(t, bank)
	at := belief(t, 4, 0.5)
	var called []Called
	times := map[string]int{}
	for {
		call, ok := caller.Next(at, called)
		if !ok {
			break
		}
		times[call.ID]++
		called = append(called, Called{Phrase: call.ID, Share: 0.9})
		require.LessOrEqual(t, len(called), 6)
	}
	assert.Equal(t, map[string]int{bank[0].ID: 3, bank[1].ID: 3}, times)
}

func TestSameMetreIsPreferredWhereItTellsAsMuch(t *testing.T) {
	bank := evenBank(3, 5, 0.25, 0.5)
	other := bank[4]
	other.ID = "waltz"
	other.Phrase = mustParse("x x x", "3/4")
	bank = append([]patterns.Graded{other}, bank...)
	call, ok := newCaller(t, bank).Next(belief(t, 4, 1), []Called{{Phrase: bank[1].ID, Share: 0.8}})
	require.True(t, ok)
	assert.NotEqual(t, "waltz", call.ID)
	assert.Equal(t, fourFour, call.Phrase.Meter())
}

func TestImprovisedCallsCountForTheStep(t *testing.T) {
	bank := evenBank(1, 9, 0.25, 0.5)
	call, ok := newCaller(t, bank).Next(belief(t, 6, 1), []Called{{Difficulty: 2, Share: math.NaN()}})
	require.True(t, ok)
	assert.LessOrEqual(t, call.Difficulty, 3.5)
}

func TestLargeStepIsTakenWhereTheBankHasNothingNearer(t *testing.T) {
	bank := []patterns.Graded{evenBank(1, 1, 1, 0.5)[0], evenBank(6, 6, 1, 0.5)[0]}
	bank[1].ID = "far"
	call, ok := newCaller(t, bank).Next(belief(t, 6, 1), []Called{
		{Phrase: bank[0].ID, Share: 1}, {Phrase: bank[0].ID, Share: 1}, {Phrase: bank[0].ID, Share: 1},
	})
	require.True(t, ok)
	assert.Equal(t, "far", call.ID)
}

func TestBankWithoutUsablePhrasesIsAnError(t *testing.T) {
	_, err := NewCaller(nil, Microphone{})
	assert.EqualError(t, err, "the bank holds no phrase to call; write at least one")
	_, err = NewCaller([]patterns.Graded{{Entry: bank.Entry{ID: "fog"}, Difficulty: math.NaN()}},
		Microphone{})
	assert.ErrorContains(t, err, `"fog"`)
	_, err = NewCaller(evenBank(1, 2, 1, 0.5), Microphone{ShareSD: 2})
	assert.Error(t, err)
}

func TestEnoughAfterSixFirmRoundsOrTwelve(t *testing.T) {
	firm, loose := belief(t, 4, 0.3), belief(t, 4, 1)
	assert.False(t, Enough(firm, 5))
	assert.True(t, Enough(firm, 6))
	assert.False(t, Enough(loose, 11))
	assert.True(t, Enough(loose, 12))
}

func TestNextCallIsTheSameEveryTime(t *testing.T) {
	bank := patterns.GradeBank(difficulty.DefaultModel(), bank.Starter())
	caller := newCaller(t, bank)
	at := belief(t, 4, 1)
	called := []Called{{Phrase: bank[10].ID, Share: 0.6}}
	first, _ := caller.Next(at, called)
	for range 3 {
		again, _ := caller.Next(at, called)
		assert.Equal(t, first, again)
	}
}

// BenchmarkNextCall is the choice from a bank of 5,000 phrases.
func BenchmarkNextCall(b *testing.B) {
	bank := evenBank(0.5, 10.498, 0.002, 0.5)
	require.Len(b, bank, 5000)
	for i := range bank {
		bank[i].SD = 0.3 + 0.1*float64(i%5)
	}
	caller := newCaller(b, bank)
	at := belief(b, 5, 1)
	called := []Called{{Phrase: bank[1500].ID, Share: 0.7}}
	for b.Loop() {
		if _, ok := caller.Next(at, called); !ok {
			b.Fatal("nothing to call")
		}
	}
}
