package leastsquares

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// random makes a problem of a few and many unknowns, in which every unknown has a pull.
func randomProblem(random *rand.Rand, few, many int) (all, split *Problem) {
	all, split = New(few+many, 0), New(few, many)
	both := func(target, precision float64, terms ...Term) {
		all.Add(target, precision, terms...)
		split.Add(target, precision, terms...)
	}
	for i := range few + many {
		both(random.NormFloat64(), 0.5+random.Float64(), Term{i, 1})
	}
	for range 6 * (few + many) {
		terms := []Term{{random.IntN(few), random.NormFloat64()}}
		if other := random.IntN(few); other != terms[0].Unknown {
			terms = append(terms, Term{other, random.NormFloat64()})
		}
		if many > 0 {
			terms = append(terms, Term{few + random.IntN(many), random.NormFloat64()})
		}
		both(random.NormFloat64(), random.Float64(), terms...)
	}
	return all, split
}

func TestTakingUnknownsOutFirstChangesNothing(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		few, many := 1+random.IntN(5), random.IntN(9)
		all, split := randomProblem(random, few, many)
		a, err := all.Solve(nil)
		require.NoError(t, err)
		b, err := split.Solve(nil)
		require.NoError(t, err)
		for i := range a.Values {
			assert.InDelta(t, a.Values[i], b.Values[i], 1e-9)
			assert.InDelta(t, a.Variance(i), b.Variance(i), 1e-9)
		}
	}
}

// The conditions of Karush, Kuhn and Tucker: a free value has no slope, a held one would fall
// further.
func TestHeldValuesAreTheBestThereAre(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	held := 0
	for range 200 {
		few := 1 + random.IntN(6)
		all, _ := randomProblem(random, few, 0)
		floor := make([]float64, few)
		s, err := all.Solve(floor)
		require.NoError(t, err)
		for i := range few {
			slope := all.gradient[i]
			for j := range few {
				slope -= all.dense.At(i, j) * s.Values[j]
			}
			require.GreaterOrEqual(t, s.Values[i], -1e-12)
			if s.Values[i] > 0 {
				assert.InDelta(t, 0, slope, 1e-8)
				continue
			}
			held++
			assert.LessOrEqual(t, slope, 1e-8)
			assert.Zero(t, s.Variance(i))
		}
	}
	assert.Greater(t, held, 100)
}

// By hand: two pulls of precision 1 and 3 meet at three quarters, with variance 1/4.
func TestPullsMeetByTheirPrecision(t *testing.T) {
	l := New(1, 0)
	l.Pull(0, 0, 1)
	l.Pull(0, 1, 3)
	s, err := l.Solve(nil)
	require.NoError(t, err)
	assert.InDelta(t, 0.75, s.Values[0], 1e-12)
	assert.InDelta(t, 0.25, s.Variance(0), 1e-12)
}

func TestAnOpenUnknownIsAnError(t *testing.T) {
	_, err := New(1, 0).Solve(nil)
	assert.ErrorIs(t, err, ErrNotSettled)
	_, err = New(0, 1).Solve(nil)
	assert.ErrorIs(t, err, ErrNotSettled)
	l := New(1, 0)
	l.Pull(0, math.NaN(), math.NaN())
	_, err = l.Solve(nil)
	assert.ErrorIs(t, err, ErrNotSettled)
}
