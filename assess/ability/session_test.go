package ability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSessionEqualsEstimate(t *testing.T) {
	session, err := NewSession(Settings{Tiers: 9})
	require.NoError(t, err)
	for i, o := range benchRounds() {
		require.NoError(t, session.Add(o))
		want := estimate(t, benchRounds()[:i+1]...)
		got := session.Result()
		assert.Equal(t, want.TierChances, got.TierChances)
		assert.Equal(t, want.Level, got.Level)
		assert.Equal(t, want.Warnings, got.Warnings)
	}
}

func TestBadRoundLeavesTheSessionAlone(t *testing.T) {
	session, err := NewSession(Settings{Tiers: 9})
	require.NoError(t, err)
	require.NoError(t, session.Add(benchRounds()[0]))
	before := session.Result()
	require.Error(t, session.Add(Observation{Share: math.NaN()}))
	assert.Equal(t, before, session.Result())
}

func try(item string, attempt int, share float64) Observation {
	return Observation{
		Difficulty: 5, DifficultySD: 0.7, Share: share, ShareSD: 0.05, People: 40,
		Item: item, Attempt: attempt,
	}
}

func TestSecondTryIsEasier(t *testing.T) {
	first := estimate(t, try("halyard", 1, 0.6))
	second := estimate(t, try("halyard", 2, 0.6))
	third := estimate(t, try("halyard", 3, 0.6))
	assert.InDelta(t, practiceGain, first.Level-second.Level, 0.15)
	assert.Less(t, third.Level, second.Level)
	assert.InDelta(t, third.Level, estimate(t, try("halyard", 9, 0.6)).Level, 1e-12,
		"no gain after the third")
}

func TestAnotherPhraseTellsMoreThanAnotherTry(t *testing.T) {
	again := estimate(t, try("halyard", 1, 0.6), try("halyard", 2, 0.6))
	fresh := estimate(t, try("halyard", 1, 0.6), try("bowline", 1, 0.6))
	assert.Less(t, fresh.LevelSD, 0.9*again.LevelSD)
	once := estimate(t, try("halyard", 1, 0.6))
	assert.Less(t, again.LevelSD, once.LevelSD, "another try still tells something")
}

func TestTriesMayComeBetweenOtherPhrases(t *testing.T) {
	a := estimate(t, try("halyard", 1, 0.5), try("halyard", 2, 0.7), try("bowline", 1, 0.4))
	b := estimate(t, try("bowline", 1, 0.4), try("halyard", 1, 0.5), try("halyard", 2, 0.7))
	c := estimate(t, try("halyard", 1, 0.5), try("bowline", 1, 0.4), try("halyard", 2, 0.7))
	assert.InDelta(t, a.Level, b.Level, 1e-6)
	assert.InDelta(t, a.Level, c.Level, 1e-6)
	assert.InDelta(t, a.LevelSD, c.LevelSD, 1e-6)
}

func TestBeliefIsTheSameWhetherAskedForOftenOrOnce(t *testing.T) {
	rounds := []Observation{
		try("halyard", 1, 0.5), try("bowline", 1, 0.4), try("halyard", 2, 0.7),
		try("halyard", 3, 0.9), try("", 1, 0.3), try("bowline", 2, 0.6),
	}
	rounds[3].DifficultySD = 0.9 // another error of the same phrase: the earlier tries are weighed anew
	often, err := NewSession(Settings{Tiers: 9})
	require.NoError(t, err)
	for i, o := range rounds {
		require.NoError(t, often.Add(o))
		once := estimate(t, rounds[:i+1]...)
		level, sd := often.Posterior().Level()
		assert.InDelta(t, once.Level, level, 1e-6)
		assert.InDelta(t, once.LevelSD, sd, 1e-6)
	}
}

func TestNamelessRoundsAreDifferentPhrases(t *testing.T) {
	a := estimate(t, try("", 1, 0.5), try("", 1, 0.5))
	b := estimate(t, try("halyard", 1, 0.5), try("bowline", 1, 0.5))
	assert.Equal(t, b.Level, a.Level)
	assert.Equal(t, b.LevelSD, a.LevelSD)
}

func TestEndlessTriesStayFinite(t *testing.T) {
	session, err := NewSession(Settings{Tiers: 9})
	require.NoError(t, err)
	for attempt := range 200 {
		require.NoError(t, session.Add(try("halyard", attempt+1, float64(attempt%2))))
	}
	r := session.Result()
	assert.Equal(t, 200, r.Rounds)
	assert.False(t, math.IsNaN(r.Level))
	assert.Positive(t, r.LevelSD)
}

func FuzzEstimate(f *testing.F) {
	f.Add(3.0, 0.5, 0.8, 0.1, 25, 0.0, uint8(0), 1, "halyard", 0.7, 9)
	f.Add(-50.0, 5.0, 1e308, 1.0, 0, 1.0, uint8(3), 1000, "", 0.05, 1)
	f.Add(50.0, 0.0, -1e308, 1e-300, 100000, 0.5, uint8(1), 0, "bowline", 0.95, 100)
	f.Add(math.NaN(), 0.0, 0.0, 0.0, 0, 0.0, uint8(0), 0, "", 0.0, 0)
	f.Fuzz(func(t *testing.T, difficulty, difficultySD, share, shareSD float64, people int,
		doubt float64, verdict uint8, attempt int, item string, comfort float64, tiers int,
	) {
		o := Observation{
			Difficulty: difficulty, DifficultySD: difficultySD, Share: share, ShareSD: shareSD,
			Verdict: Verdict(verdict), People: people, Doubt: doubt, Item: item, Attempt: attempt,
		}
		r, err := Estimate(Settings{Tiers: tiers, Comfort: comfort}, []Observation{o, o, o, o})
		if err != nil {
			var bad *InputError
			require.ErrorAs(t, err, &bad)
			return
		}
		sum := r.posterior.tierChances(tiers, r.Comfort)[0]
		for _, c := range r.TierChances {
			sum += c
		}
		assert.InDelta(t, 1, sum, 1e-9)
		for _, x := range []float64{
			r.Level, r.LevelLow, r.LevelHigh, r.LevelSD, r.Spread,
			r.SpreadSD, r.posterior.Share(difficulty), r.posterior.ChanceManaged(difficulty, 0, 0.5),
		} {
			assert.False(t, math.IsNaN(x) || math.IsInf(x, 0))
		}
		assert.LessOrEqual(t, r.LevelLow, r.LevelHigh)
	})
}

func TestWhatTheLeaderCallsSaysSomething(t *testing.T) {
	level := func(calls ...float64) (mean, sd float64) {
		s, err := NewSession(Settings{Tiers: 9})
		require.NoError(t, err)
		for _, d := range calls {
			s.Called(d)
		}
		return s.Posterior().Level()
	}
	none, wide := level()
	assert.InDelta(t, 5, none, 1e-6)
	one, sd := level(1)
	assert.InDelta(t, none, one, 1.5, "one plain call is plain for every group")
	assert.Greater(t, sd, 0.8*wide)
	many, sd := level(1, 1, 2, 2, 2.5, 3, 3, 3.5, 3.5, 4)
	assert.InDelta(t, 2.55+0.5, many, 0.7, "above the mean of the calls, drawn to the bank's middle")
	assert.InDelta(t, 0.9, sd, 0.1, "leaders differ")
	far, _ := level(1, 1, 1, 1, 2, 2.5, 3, 4, 5, 5)
	assert.Greater(t, far, many+0.3, "the farther the calls reach, the higher, with the same mean")
	same, _ := level(4, 4, 4, 4, 4, 4, 4, 4)
	assert.InDelta(t, 4, same, 0.3, "and never below the mean")
}

func TestMoreRoundsDoNotTakeAwayWhatAllErrInCommon(t *testing.T) {
	after := func(common float64) (mean, sd float64) {
		s, err := NewSession(Settings{Tiers: 9, CommonSD: common})
		require.NoError(t, err)
		for i := range 40 {
			b := 2 + float64(i%5)
			require.NoError(t, s.Add(Observation{
				Difficulty: b, Share: 1 / (1 + math.Exp(b-4.5)),
				ShareSD: 0.1, People: 25,
			}))
		}
		return s.Posterior().Level()
	}
	sure, least := after(0)
	level, sd := after(0.6)
	assert.Less(t, least, 0.25)
	assert.Greater(t, sd, 0.5)
	assert.InDelta(t, sure, level, 0.15, "only the prior weighs a little more")
	_, err := NewSession(Settings{Tiers: 9, CommonSD: -1})
	assert.Error(t, err)
}
