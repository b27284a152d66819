package ability

import (
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
)

func prior(t testing.TB, p Prior) *Posterior {
	t.Helper()
	out, err := NewPosterior(p)
	require.NoError(t, err)
	return out
}

func after(t testing.TB, p *Posterior, rounds ...Observation) *Posterior {
	t.Helper()
	for _, o := range rounds {
		var err error
		p, err = p.Update(o)
		require.NoError(t, err)
	}
	return p
}

func TestPriorIsWhatWasAsked(t *testing.T) {
	for _, want := range []Prior{
		{Level: 5, LevelSD: 2},
		{Level: -3.3, LevelSD: 0.5},
		{Level: 2, LevelSD: 0.1},
		{Level: 4.04, LevelSD: 4},
	} {
		p := prior(t, want)
		mean, sd := p.Level()
		assert.InDelta(t, want.Level, mean, 1e-6)
		assert.InEpsilon(t, want.LevelSD, sd, 0.005)
		assert.InDelta(t, want.Level, p.LevelQuantile(0.5), 1e-6)
		assert.InDelta(t, 1.6449*want.LevelSD, p.LevelQuantile(0.95)-want.Level, 0.03)
		// Mean of a lognormal: 1.0·e^(0.4²/2).
		spread, _ := p.spread()
		assert.InDelta(t, math.Exp(0.08), spread, 0.02)
	}
	assert.Equal(t, Prior{Level: 5, LevelSD: 2}, PriorForTiers(9))
	assert.Equal(t, Prior{Level: 3, LevelSD: 2}, PriorForTiers(5))
}

func TestPastFadesWithTime(t *testing.T) {
	assert.InDelta(t, math.Sqrt(0.4*0.4+0.3*0.3), PriorFromPast(4, 0.4, 0).LevelSD, 1e-12)
	assert.InDelta(t, math.Sqrt(0.4*0.4+0.3*0.3+0.6*0.6), PriorFromPast(4, 0.4, 90).LevelSD, 1e-12)
	assert.Equal(t, PriorFromPast(4, 0.4, 0), PriorFromPast(4, 0.4, -3))
	last := 0.0
	for _, days := range []float64{0, 1, 7, 30, 365, 3650} {
		p := PriorFromPast(4, 0.4, days)
		assert.Equal(t, 4.0, p.Level)
		assert.Greater(t, p.LevelSD, last)
		last = p.LevelSD
	}
	assert.Equal(t, usualLevelSD, PriorFromPast(4, 0.4, 36500).LevelSD,
		"never vaguer than an unknown group")
}

// TestPosteriorAgainstBruteForce draws levels, spreads, discriminations and
// difficulty errors from their priors and weighs them by a likelihood written
// out here, with shares integrated by gonum's Gauss–Hermite rule.
func TestPosteriorAgainstBruteForce(t *testing.T) {
	rounds := []Observation{
		{Difficulty: 3, DifficultySD: 0.5, Share: 0.85, ShareSD: 0.1, People: 12},
		{Difficulty: 5, DifficultySD: 0.5, Share: 0.40, ShareSD: 0.1, People: 12},
		{Difficulty: 4, DifficultySD: 0.3, Share: 0.55, ShareSD: 0.15, People: 12},
		{Difficulty: 2, DifficultySD: 0, Share: 1, ShareSD: 0.1, People: 12},
	}
	p := after(t, prior(t, Prior{Level: 5, LevelSD: 2}), rounds...)

	const nodes = 24
	x, w := make([]float64, nodes), make([]float64, nodes)
	quad.Hermite{}.FixedLocations(x, w, math.Inf(-1), math.Inf(1))
	rng := rand.New(rand.NewPCG(3, 5))
	var sum, level, square, spread, tier4 float64
	for range 80_000 {
		m := 5 + 2*rng.NormFloat64()
		s := 1.0 * math.Exp(0.4*rng.NormFloat64())
		a := 0.0
		for a < 0.8 || a > 2 {
			a = 1.24 * math.Exp(0.25*rng.NormFloat64())
		}
		share := func(b float64) (p, luck float64) {
			var pp, tilt, bend float64
			for i := range x {
				z := math.Sqrt2 * x[i]
				q := 1 / (1 + math.Exp(-a*(m+s*z-b)))
				weight := w[i] / math.Sqrt(math.Pi)
				p += weight * q
				pp += weight * q * q
				tilt += weight * q * z
				bend += weight * q * (z*z - 1) / math.Sqrt2
			}
			return p, p - p*p - tilt*tilt - bend*bend
		}
		likelihood := 1.0
		for _, o := range rounds {
			expected, luck := share(o.Difficulty + o.DifficultySD*rng.NormFloat64())
			sd := math.Sqrt(o.ShareSD*o.ShareSD + luck/12)
			z := (o.Share - expected) / sd
			likelihood *= 0.95*math.Exp(-z*z/2)/(sd*math.Sqrt(2*math.Pi)) + 0.05
		}
		sum += likelihood
		level += likelihood * m
		square += likelihood * m * m
		spread += likelihood * s
		if p, _ := share(4); p >= 0.7 {
			tier4 += likelihood
		}
	}
	mean, sd := p.Level()
	s, _ := p.spread()
	assert.InDelta(t, level/sum, mean, 0.03)
	assert.InDelta(t, math.Sqrt(square/sum-level/sum*level/sum), sd, 0.03)
	assert.InDelta(t, spread/sum, s, 0.06)
	assert.InDelta(t, tier4/sum, p.ChanceManaged(4, 0, 0.7), 0.03)
}

func TestOrderOfRoundsDoesNotMatter(t *testing.T) {
	a, b := benchRounds(), benchRounds()
	for i, j := 0, len(b)-1; i < j; i, j = i+1, j-1 {
		b[i], b[j] = b[j], b[i]
	}
	m1, s1 := after(t, prior(t, PriorForTiers(9)), a...).Level()
	m2, s2 := after(t, prior(t, PriorForTiers(9)), b...).Level()
	assert.InDelta(t, m1, m2, 1e-6)
	assert.InDelta(t, s1, s2, 1e-6)
}

func TestShiftingTheScaleShiftsTheLevel(t *testing.T) {
	for _, shift := range []float64{3, -2.5, 0.037} {
		rounds := benchRounds()
		for i := range rounds {
			rounds[i].Difficulty += shift
		}
		m1, s1 := after(t, prior(t, Prior{Level: 5, LevelSD: 2}), benchRounds()...).Level()
		m2, s2 := after(t, prior(t, Prior{Level: 5 + shift, LevelSD: 2}), rounds...).Level()
		assert.InDelta(t, m1+shift, m2, 1e-6)
		assert.InDelta(t, s1, s2, 1e-6)
	}
}

func TestAReadingThatChangesNothingChangesNothing(t *testing.T) {
	settings := Settings{Tiers: 9}
	plain, read := ladder(0.15), ladder(0.15)
	for i := range read {
		read[i].Reading = &Reading{Mean: [3]float64{0, 1, 0}, Variance: [3]float64{0.15 * 0.15, 0, 0}}
	}
	a, err := Estimate(settings, plain)
	require.NoError(t, err)
	b, err := Estimate(settings, read)
	require.NoError(t, err)
	assert.InDelta(t, a.Level, b.Level, 1e-9)
	assert.InDeltaSlice(t, a.TierChances, b.TierChances, 1e-9)
	assert.Equal(t, a.Warnings, b.Warnings)
}

// What keeps to the middle is read as what it stands for: the same group, heard by a microphone
// that hears nobody as a quarter and everybody as nine tenths, has the same level.
func TestAReadingUndoesWhatTheMeasurementDid(t *testing.T) {
	settings := Settings{Tiers: 9}
	direct, shrunk := ladder(0.10), ladder(0.10)
	reading := &Reading{Mean: [3]float64{0.25, 0.65, 0}, Variance: [3]float64{0.65 * 0.65 * 0.01, 0, 0}}
	for i := range shrunk {
		shrunk[i].Share, shrunk[i].Reading = 0.25+0.65*shrunk[i].Share, reading
	}
	a, err := Estimate(settings, direct)
	require.NoError(t, err)
	b, err := Estimate(settings, shrunk)
	require.NoError(t, err)
	assert.InDelta(t, a.Level, b.Level, 0.02)
	assert.Equal(t, a.Tier, b.Tier)
	for i := range shrunk {
		shrunk[i].Reading = nil
	}
	c, err := Estimate(settings, shrunk)
	require.NoError(t, err)
	assert.Greater(t, c.Spread, a.Spread+0.1, "taken for the share itself, people would differ more")
	shrunk[0].Reading = &Reading{Mean: [3]float64{math.NaN(), 1, 0}}
	_, err = Estimate(settings, shrunk)
	var bad *InputError
	require.ErrorAs(t, err, &bad)
}

// ladder is a warm-up of seven rounds with shares that fall from nearly all to few.
func ladder(sd float64) []Observation {
	var out []Observation
	for i, share := range []float64{0.95, 0.9, 0.8, 0.6, 0.45, 0.25, 0.1} {
		out = append(out, Observation{
			Difficulty: 1 + float64(i), DifficultySD: 0.5, Share: share, ShareSD: sd, People: 24,
		})
	}
	return out
}

func TestBetterShareMeansHigherLevel(t *testing.T) {
	last := math.Inf(-1)
	for share := 0.0; share <= 1.0001; share += 0.05 {
		m, _ := after(t, prior(t, PriorForTiers(9)),
			Observation{Difficulty: 5, Share: share, ShareSD: 0.1, People: 25}).Level()
		assert.Greater(t, m, last, "share %.2f", share)
		last = m
	}
}

func TestOnePersonHasGotItOrHasNot(t *testing.T) {
	sure := 1e-3 // heard without error
	for _, p := range []float64{0.05, 0.3, 0.5, 0.9} {
		got, lost := newRound(Observation{Share: 1, ShareSD: sure, People: 1}),
			newRound(Observation{Share: 0, ShareSD: sure, People: 1})
		assert.InDelta(t, p, got.core(p, 0, p*(1-p), 1), 1e-9, "one trial of Bernoulli's")
		assert.InDelta(t, 1-p, lost.core(p, 0, p*(1-p), 1), 1e-9)
		unsure := newRound(Observation{Share: 1, ShareSD: 0.47, People: 1})
		assert.InDelta(t, 0.9*p+0.1*(1-p), unsure.core(p, 0, p*(1-p), 1), 0.01,
			"heard right nine times in ten")
	}
	half := newRound(Observation{Share: 0.5, People: 1})
	assert.InDelta(t, half.core(0.1, 0, 0, 1), half.core(0.9, 0, 0, 1), 1e-12, "halfway says nothing")
}

func TestVerdictsAreOrdered(t *testing.T) {
	level := func(v Verdict) float64 {
		m, _ := after(t, prior(t, PriorForTiers(9)), Observation{Difficulty: 5, Verdict: v}).Level()
		return m
	}
	assert.Less(t, level(Lost)+0.5, level(Partly))
	assert.Less(t, level(Partly)+0.5, level(Got))
	for p := 0.0; p <= 1; p += 0.125 {
		assert.InDelta(t, 1, verdictChance(Lost, p, 0.2)+verdictChance(Partly, p,
			0.2)+verdictChance(Got, p, 0.2), 1e-12)
	}
}

func TestMoreDoubtMeansLessSaid(t *testing.T) {
	start := prior(t, PriorForTiers(9))
	sd := func(o Observation) float64 {
		o.Difficulty, o.Share = 5, 0.6
		_, s := after(t, start, o).Level()
		return s
	}
	base := Observation{ShareSD: 0.1, DifficultySD: 0.3, People: 25}
	for name, worse := range map[string]Observation{
		"microphone":       {ShareSD: 0.2, DifficultySD: 0.3, People: 25},
		"difficulty":       {ShareSD: 0.1, DifficultySD: 0.8, People: 25},
		"few people":       {ShareSD: 0.1, DifficultySD: 0.3, People: 4},
		"doubt":            {ShareSD: 0.1, DifficultySD: 0.3, People: 25, Doubt: 0.4},
		"people not known": {ShareSD: 0.1, DifficultySD: 0.3},
	} {
		assert.Greater(t, sd(worse), sd(base), name)
	}
	_, before := start.Level()
	assert.InDelta(t, before, sd(Observation{ShareSD: 0.1, Doubt: 1}), 1e-9,
		"a round that is surely wrong says nothing")
}

func TestAllOrNothingIsFinite(t *testing.T) {
	for _, share := range []float64{0, 1, -0.4, 1.7, 1e300} {
		p := prior(t, PriorForTiers(9))
		for round := range 12 {
			p = after(t, p, Observation{
				Difficulty: float64(1 + round%9), DifficultySD: 0.5,
				Share: share, ShareSD: 0.05, People: 60,
			})
		}
		mean, sd := p.Level()
		if share <= 0 {
			assert.Less(t, mean, 1.0)
		} else {
			assert.Greater(t, mean, 9.0)
		}
		assert.Less(t, math.Abs(mean-5), 9.0)
		assert.Greater(t, sd, 0.1)
		assert.Less(t, sd, 2.0)
	}
}

func TestOneWrongRoundDoesNotWreckTheEstimate(t *testing.T) {
	var rounds []Observation
	for i, share := range []float64{0.9, 0.8, 0.68, 0.52, 0.3, 0.6, 0.44} {
		rounds = append(rounds, Observation{
			Difficulty: []float64{2, 3, 4, 5, 6, 4.5, 5.5}[i], DifficultySD: 0.3,
			Share: share, ShareSD: 0.1, People: 25,
		})
	}
	clean := after(t, prior(t, PriorForTiers(9)), rounds...)
	want, sd := clean.Level()
	for _, wrong := range []Observation{
		{Difficulty: 2, DifficultySD: 0.3, Share: 0, ShareSD: 0.1, People: 25},
		{Difficulty: 8, DifficultySD: 0.3, Share: 1, ShareSD: 0.1, People: 25},
	} {
		got, _ := after(t, clean, wrong).Level()
		assert.InDelta(t, want, got, 0.5*sd, "wrong at the end")
		got, _ = after(t, prior(t, PriorForTiers(9)), append([]Observation{wrong}, rounds...)...).Level()
		assert.InDelta(t, want, got, 0.5*sd, "wrong at the beginning")
	}
}

func TestUpdateLeavesThePosteriorAlone(t *testing.T) {
	p := prior(t, PriorForTiers(9))
	m1, s1 := p.Level()
	after(t, p, benchRounds()...)
	m2, s2 := p.Level()
	assert.Equal(t, m1, m2)
	assert.Equal(t, s1, s2)
}

func TestPosteriorIsSafeForConcurrentUse(t *testing.T) {
	p := after(t, prior(t, PriorForTiers(9)), benchRounds()...)
	scorer, err := NewScorer(Noise{}, 0)
	require.NoError(t, err)
	want := p.Share(4)
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			after(t, p, benchRounds()[:2]...)
			_, err := scorer.Rank(p, []float64{1, 2, 3})
			assert.NoError(t, err)
			assert.Equal(t, want, p.Share(4))
		})
	}
	wait.Wait()
}
