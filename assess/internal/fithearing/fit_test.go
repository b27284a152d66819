package main

import (
	"bytes"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLeastSquaresFindsTheWeights(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	want := []float64{0.4, -1.5, 0.25}
	var features [][]float64
	var y []float64
	for range 4000 {
		row := []float64{1, rng.NormFloat64(), 3 + 2*rng.Float64()}
		features = append(features, row)
		y = append(y, weigh(want, row)+0.1*rng.NormFloat64())
	}
	got, err := leastSquares(features, y)
	require.NoError(t, err)
	for i := range want {
		assert.InDelta(t, want[i], got[i], 0.02)
	}
	_, err = leastSquares(nil, nil)
	assert.Error(t, err)
}

func TestAFitToAFewWarmUpsReadsSharesOfOthers(t *testing.T) {
	w := newWorld()
	if underRace { // who hears at once is watched with a few
		_, err := w.hear(t.Context(), 11, 3)
		require.NoError(t, err)
		return
	}
	warmups, err := w.hear(t.Context(), 11, 18)
	require.NoError(t, err)
	fitted, err := fit(warmups[:12])
	require.NoError(t, err)
	var s score
	for i := range warmups[12:] {
		require.NoError(t, w.judge(&s, fitted, false, &warmups[12+i]))
	}
	assert.Greater(t, s.area(), 0.85, "who got it is told from who did not")
	assert.Greater(t, correlation(s.heard, s.notes), 0.5)
	assert.Greater(t, correlation(s.found, s.extras), 0.4)
	assert.InDelta(t, 0, s.bias/float64(s.warmups), 1)

	again, err := newWorld().hear(t.Context(), 11, 3)
	require.NoError(t, err)
	assert.Equal(t, warmups[:3], again, "the same seed gives the same warm-ups")
}

func TestCheckNamesTheTableThatParts(t *testing.T) {
	warmups, err := newWorld().hear(t.Context(), 12, 1)
	require.NoError(t, err)
	used := inUse()
	assert.NoError(t, used.compare(inUse(), warmups))
	moved := inUse()
	moved.share = slices.Clone(moved.share)
	moved.share[0] += 0.02
	assert.ErrorContains(t, moved.compare(used, warmups), "shareWeights: what is in use differs by 0.0200")
	var out bytes.Buffer
	used.print(&out)
	assert.Contains(t, out.String(), "var shareWeights = [25]float64{")
}

func TestWarmUpsWithoutSoundErrAsMuchAsThoseWithIt(t *testing.T) {
	w := newWorld()
	warmups, err := w.imagine(t.Context(), 13, 48)
	require.NoError(t, err)
	fitted, err := fitAll(warmups[:36])
	require.NoError(t, err)
	others := warmups[36:]
	steady(others, fitted.spread)
	rescale(others, fitted.full)
	squares, n := 0.0, 0.0
	each(others, func(_ *Warmup, a *Answer) {
		off := clamp01(weigh(fitted.share, a.Heard.ShareFeatures())) - a.Share
		squares, n = squares+off*off, n+1
	})
	assert.InDelta(t, 0.155, math.Sqrt(squares/n), 0.04, "as testdata/fit.txt says of sound")

	again, err := newWorld().imagine(t.Context(), 13, 2)
	require.NoError(t, err)
	first, err := newWorld().imagine(t.Context(), 13, 1)
	require.NoError(t, err)
	assert.Equal(t, first[0], again[0], "the same seed gives the same warm-ups")
}
