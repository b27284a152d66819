package main

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
)

// ones counts every row once.
func ones(n int) []float64 {
	counts := make([]float64, n)
	for i := range counts {
		counts[i] = 1
	}
	return counts
}

func TestLogisticFindsTheWeights(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	want := []float64{-2, 0.8, -15}
	var features [][]float64
	var y []float64
	for range 20_000 {
		row := []float64{1, 6 * rng.Float64(), 0.1 * rng.NormFloat64()}
		happens := 0.0
		if rng.Float64() < 1/(1+math.Exp(-weigh(want, row))) {
			happens = 1
		}
		features, y = append(features, row), append(y, happens)
	}
	got, err := logistic(features, y, ones(len(y)))
	require.NoError(t, err)
	for i := range want {
		assert.InDelta(t, want[i], got[i], 0.06*math.Abs(want[i]))
	}
	_, err = logistic(nil, nil, nil)
	assert.Error(t, err)
}

func TestARowThatCountsTwiceIsTwoRows(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	var features, twice [][]float64
	var y, twiceY []float64
	counts := ones(4000)
	for i := range counts {
		row, happens := []float64{1, rng.NormFloat64()}, float64(rng.IntN(2))
		features, y = append(features, row), append(y, happens)
		twice, twiceY = append(twice, row), append(twiceY, happens)
		if row[1]*happens > 0 {
			counts[i] = 2
			twice, twiceY = append(twice, row), append(twiceY, happens)
		}
	}
	counted, err := logistic(features, y, counts)
	require.NoError(t, err)
	doubled, err := logistic(twice, twiceY, ones(len(twice)))
	require.NoError(t, err)
	plain, err := logistic(features, y, ones(len(y)))
	require.NoError(t, err)
	for i := range counted {
		assert.InDelta(t, doubled[i], counted[i], 1e-3)
		assert.Greater(t, math.Abs(plain[i]-counted[i]), 0.1)
	}
}

// What can be told apart without error must not send the weights to infinity.
func TestLogisticStaysFiniteWhereNothingIsInDoubt(t *testing.T) {
	got, err := logistic([][]float64{{1, -2}, {1, -1}, {1, 1}, {1, 2}}, []float64{0, 0, 1, 1}, ones(4))
	require.NoError(t, err)
	assert.Greater(t, got[1], 0.5)
	assert.Less(t, got[1], 50.0)
}

func TestAFitToAFewRecordingsTellsBurstsOfOthers(t *testing.T) {
	var few []soundClass
	for _, c := range soundClasses {
		switch c.name {
		case "one, babble", "one, drum", "group, hall", "group, babble":
			few = append(few, c)
		}
	}
	w := newWorld()
	if underRace { // who listens at once is watched with a few
		_, err := w.takes(t.Context(), 21, few[:3], 1)
		require.NoError(t, err)
		return
	}
	ours, err := w.takes(t.Context(), 21, few, 4)
	require.NoError(t, err)
	fitted, err := fitBursts(ours)
	require.NoError(t, err)
	others, err := w.takes(t.Context(), 22, few, 4)
	require.NoError(t, err)
	assert.Greater(t, meanF(scoresOf(others, fitted)), 0.85)
	again, err := w.takes(t.Context(), 21, few[:1], 1)
	require.NoError(t, err)
	for kind := range onset.Kinds {
		assert.Equal(t, ours[0].candidates.Of(kind, fitted), again[0].candidates.Of(kind, fitted),
			"the same seed gives the same sounds")
	}

	var out bytes.Buffer
	printWeights(&out, fitted)
	assert.Contains(t, out.String(), "var clapWeights = [4]float64{")
	require.NoError(t, compareBursts(ours, fitted, fitted))
	moved := onset.Weights{fitted[onset.ClapKind], fitted[onset.GroupKind], []float64{-9, 0, 0}}
	assert.ErrorContains(t, compareBursts(ours, fitted, moved), "dullWeights: what is in use judges")
}
