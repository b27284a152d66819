package rank

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSpearmanAgainstWorkedExamples(t *testing.T) {
	// With ties: the example of SciPy's spearmanr documentation (from memory).
	assert.InDelta(t, 0.820783, Spearman([]float64{1, 2, 3, 4, 5}, []float64{5, 6, 7, 8, 7}), 5e-7)
	// Without ties: the IQ and television example of Wikipedia's article on Spearman's coefficient
	// (from memory): -29/165.
	iq := []float64{106, 100, 86, 101, 99, 103, 97, 113, 112, 110}
	hours := []float64{7, 27, 2, 50, 28, 29, 20, 12, 6, 17}
	assert.InDelta(t, -29.0/165, Spearman(iq, hours), 1e-12)
	assert.Zero(t, Spearman([]float64{1, 1, 1}, []float64{1, 2, 3}))
}

func TestKendallAgainstAWorkedExample(t *testing.T) {
	// The example of SciPy's kendalltau documentation (from memory).
	assert.InDelta(t, -0.471405, KendallB([]float64{12, 2, 1, 12, 2}, []float64{1, 4, 7, 1, 0}), 5e-7)
	assert.Zero(t, KendallB([]float64{1, 1}, []float64{1, 2}))
	assert.InDelta(t, 1, KendallB([]float64{1, 2, 3}, []float64{4, 5, 6}), 1e-12)
}

func TestRanksShareTies(t *testing.T) {
	assert.Equal(t, []float64{1, 2.5, 2.5, 4}, Ranks([]float64{-3, 0, 0, 8}))
}

func TestAUCCountsPairs(t *testing.T) {
	assert.InDelta(t, 1, AUC([]float64{1, 2}, []float64{3, 4}), 1e-12)
	// of four pairs two right, one tied, one wrong
	assert.InDelta(t, 0.625, AUC([]float64{1, 3}, []float64{3, 2}), 1e-12)
	assert.InDelta(t, 0.5, AUC([]float64{1}, []float64{1}), 1e-12)
}
