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
