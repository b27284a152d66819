package fit

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"clapladder.example/patterns/difficulty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// invented are results of people whose chances follow known weights exactly.
func invented(t *testing.T, truth difficulty.Features) []Result {
	var results []Result
	for _, item := range append(public(t).Ratings, public(t).Teaching...) {
		logit := dot(truth, item.Features) - 4
		failed := 1 / (1 + math.Exp(-logit))
		results = append(results, Result{Item: item, Tried: 1e4, Passed: 1e4 * (1 - failed), Grade: 1 + 3*(1-failed)})
	}
	return results
}

func TestAFitFindsKnownWeights(t *testing.T) {
	truth := difficulty.Features{0.3, 0.4, 0.2, 0.5, 0.1, 0.8, 0.6, 0.7}
	s := DefaultSettings()
	for i := range s.PriorSD {
		s.PriorSD[i] = 10
	}
	w := Weights(&Data{Results: invented(t, truth)}, s)
	for i := range truth {
		if f := difficulty.Feature(i); f != difficulty.Sounds { // no phrase has other sounds: it stays at its prior
			assert.InDelta(t, truth[i], w[i], 0.02, f.String())
		}
	}
	assert.InDelta(t, s.Prior[difficulty.Sounds], w[difficulty.Sounds], 1e-9)
}

func TestNoWeightFallsBelowZero(t *testing.T) {
	truth := difficulty.Features{-0.3, 0.4, -0.2, 0.5, 0.1, 0.8, 0.6, 0.7}
	s := DefaultSettings()
	for i := range s.PriorSD {
		s.PriorSD[i] = 10
	}
	for _, v := range Weights(&Data{Results: invented(t, truth)}, s) {
		assert.GreaterOrEqual(t, v, 0.0)
	}
}

func TestWithoutDataThePriorStands(t *testing.T) {
	assert.Equal(t, DefaultSettings().Prior, Weights(&Data{}, DefaultSettings()))
}

func TestModelErrorTakesChanceOff(t *testing.T) {
	assert.InDelta(t, 0.3, ModelError([]ResultPrediction{{Error: 0.5, Chance: 0.16}, {Error: -0.5, Chance: 0.16}}), 1e-12)
	assert.Zero(t, ModelError([]ResultPrediction{{Error: 0.1, Chance: 0.16}}))
}

func TestReadResultsReadsTheColumns(t *testing.T) {
	file := filepath.Join(t.TempDir(), "results.csv")
	require.NoError(t, os.WriteFile(file, []byte("# made up\nid,n_perf,n_pass,mean_grade,metre_inferred,grid16,eighth_ms_median\n"+
		"a,30,12,2.5,3/4,x...x.x.x...x...x.x.x...,250\nb,30,20,3,4/4?,x...x...x.x.x...x...,300\n"), 0o600))
	results, err := ReadResults(file)
	require.NoError(t, err)
	require.Len(t, results, 2)
	assert.Equal(t, "x xx x | x xx x", results[0].Phrase.String())
	assert.InDelta(t, 120, results[0].Phrase.Tempo(), 1e-9)
	assert.Equal(t, "x x xx x | x . . .", results[1].Phrase.String(), "the last bar is filled up")
	assert.Equal(t, 12.0, results[0].Passed)

	for name, text := range map[string]string{
		"no number": "id,n_perf,n_pass,mean_grade,metre_inferred,grid16,eighth_ms_median\na,many,12,2.5,3/4,x...,250\n",
		"no metre":  "id,n_perf,n_pass,mean_grade,metre_inferred,grid16,eighth_ms_median\na,1,1,2.5,seven,x...,250\n",
		"no rows":   "id\n",
	} {
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		_, err := ReadResults(file)
		assert.ErrorContains(t, err, "results.csv", name)
	}
	_, err = ReadFolder(t.TempDir())
	assert.Error(t, err)
}

func TestTheSameRhythmIsLeftOutTogether(t *testing.T) {
	d := &Data{Results: invented(t, DefaultSettings().Prior)[:6]}
	twin := d.Results[0]
	twin.ID, twin.Passed = "twin", 1
	d.Results = append(d.Results, twin)
	predictions := LeaveOneResultOut(d, DefaultSettings())
	alone := *d
	alone.Results = d.Results[1:6]
	assert.InDelta(t, dot(Weights(&alone, DefaultSettings()), twin.Features), predictions[0].Predicted, 1e-12)
}
