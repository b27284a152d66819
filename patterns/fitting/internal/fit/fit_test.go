package fit

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/internal/features"
)

const folder = "../../../testdata/ratings"

func public(t testing.TB) *Data {
	d, err := ReadFolder(folder)
	require.NoError(t, err)
	return d
}

// invented are results of people whose chances follow known weights exactly.
func invented(t *testing.T, truth features.Values) []Result {
	m := difficulty.NewModel(truth)
	var results []Result
	for _, item := range append(public(t).Ratings, public(t).Teaching...) {
		failed := 1 / (1 + math.Exp(4-m.Unlimited(item.Phrase)))
		results = append(results, Result{
			Item: item, Tried: 1e4, Passed: 1e4 * (1 - failed), Grade: 4 - 3*failed, GradeSE: 0.01,
		})
	}
	return results
}

func TestAFitFindsKnownWeights(t *testing.T) {
	truth := features.Values{
		features.Span: 0.4, features.Runs: 0.2, features.Syncopation: 0.3, features.SilentBeats: 0.25,
	}
	s := DefaultSettings()
	s.Ridge = 1e-6
	w, err := Weights(&Data{Results: invented(t, truth)}, s, Memory...)
	require.NoError(t, err)
	for f := range truth {
		assert.InDelta(t, truth[f], w[f], 0.02, features.Feature(f).String())
	}
}

func TestNoWeightFallsBelowZero(t *testing.T) {
	truth := features.Values{features.Span: 0.4, features.Runs: -0.2, features.Syncopation: 0.3}
	w, err := Weights(&Data{Results: invented(t, truth)}, DefaultSettings(), Memory...)
	require.NoError(t, err)
	for f := range w {
		assert.GreaterOrEqual(t, w[f], 0.0)
	}
	assert.Zero(t, w[features.Runs])
	assert.Positive(t, w[features.Syncopation])
}

func TestAFeatureThatNeverVariesWithinASetGetsNoWeight(t *testing.T) {
	w, err := Weights(public(t), DefaultSettings(), Memory...)
	require.NoError(t, err)
	assert.Zero(t, w[features.Span], "all rated and all metric patterns are of one length")
	assert.Positive(t, w[features.Syncopation])
}

// A set counts the same however many phrases it has.
func TestEachSetWeighsTheSame(t *testing.T) {
	d := public(t)
	twice := *d
	twice.Ratings = append(append([]Item{}, d.Ratings...), d.Ratings...)
	once, err := Weights(d, DefaultSettings(), Memory...)
	require.NoError(t, err)
	again, err := Weights(&twice, DefaultSettings(), Memory...)
	require.NoError(t, err)
	for f := range once {
		assert.InDelta(t, once[f], again[f], 1e-9)
	}
}

func TestClearPairsCountOnlyWhatPeopleSeparated(t *testing.T) {
	results := invented(t, features.Values{features.Span: 0.4, features.Syncopation: 0.3})
	right := difficulty.NewModel(features.Values{features.Span: 0.4, features.Syncopation: 0.3})
	perfect := ClearPairs(right.Unlimited, results)
	assert.Equal(t, 1.0, perfect.Value)
	for i := range results {
		results[i].GradeSE = 0.05
	}
	fewer := ClearPairs(right.Unlimited, results)
	assert.Less(t, fewer.N, perfect.N)
	assert.Positive(t, fewer.N)
	for i := range results {
		results[i].GradeSE = 9
	}
	assert.True(t, math.IsNaN(ClearPairs(right.Unlimited, results).Value), "nothing is clear")
}

func TestTheErrorOfTheTruthIsNone(t *testing.T) {
	truth := features.Values{features.Span: 0.4, features.Syncopation: 0.3}
	results := invented(t, truth)
	assert.InDelta(t, 0, ErrorOverConstant(difficulty.NewModel(truth).Unlimited, results).Value, 0.01)
	none := difficulty.NewModel(features.Values{})
	assert.InDelta(t, 1, ErrorOverConstant(none.Unlimited, results).Value, 1e-12)
}

func TestReadResultsReadsTheColumns(t *testing.T) {
	const head = "id,n_perf,n_pass,mean_grade,se_grade,metre_inferred,grid16,eighth_ms_median\n"
	file := filepath.Join(t.TempDir(), "results.csv")
	require.NoError(t, os.WriteFile(file, []byte("# made up\n"+head+
		"a,30,12,2.5,0.2,3/4,x...x.x.x...x...x.x.x...,250\nb,30,20,3,0.1,4/4?,x...x...x.x.x...x...,300\n"), 0o600))
	results, err := ReadResults(file)
	require.NoError(t, err)
	require.Len(t, results, 2)
	assert.Equal(t, "x xx x | x xx x", results[0].Phrase.String())
	assert.InDelta(t, 120, results[0].Phrase.Tempo(), 1e-9)
	assert.Equal(t, "x x xx x | x . . .", results[1].Phrase.String(), "the last bar is filled up")
	assert.Equal(t, 12.0, results[0].Passed)
	assert.Equal(t, 0.2, results[0].GradeSE)

	for name, text := range map[string]string{
		"no number": head + "a,many,12,2.5,0.2,3/4,x...,250\n",
		"no metre":  head + "a,1,1,2.5,0.2,seven,x...,250\n",
		"no rows":   "id\n",
	} {
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		_, err := ReadResults(file)
		assert.ErrorContains(t, err, "results.csv", name)
	}
	_, err = ReadFolder(t.TempDir())
	assert.Error(t, err)
}
