package interpolate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A straight line is read exactly, and every value of a rising table is found where it stands.
func TestALineIsReadExactly(t *testing.T) {
	table := []float64{-4, -2, 0, 2, 4} // 4x at steps of a half
	for x := -1.0; x <= 1; x += 1.0 / 64 {
		assert.InDelta(t, 4*x, At(table, 0.5, x), 1e-12)
		assert.InDelta(t, x, Inverse(table, 0.5, 4*x), 1e-12)
	}
}

func TestBeyondItsEndsATableIsFlat(t *testing.T) {
	table := []float64{1, 2, 7}
	assert.Equal(t, 1.0, At(table, 0.1, -50))
	assert.Equal(t, 7.0, At(table, 0.1, math.Inf(1)))
	assert.Equal(t, -0.1, Inverse(table, 0.1, 0))
	assert.Equal(t, 0.1, Inverse(table, 0.1, 8))
	index, _ := Place(math.NaN(), 0.1, 1)
	assert.Zero(t, index, "what is no number stands at the beginning")
}

func TestTheInverseOfACurveGivesItBack(t *testing.T) {
	var table []float64
	for i := range 201 {
		table = append(table, 1/(1+math.Exp(-float64(i-100)/10)))
	}
	for x := -9.0; x < 9; x += 0.37 {
		assert.InDelta(t, x, Inverse(table, 0.1, At(table, 0.1, x)), 1e-9)
	}
}
