package robust

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// By hand from the definition.
func TestMedians(t *testing.T) {
	for _, c := range []struct {
		law          string
		x            []float64
		median, high float64
	}{
		{"of none", nil, 0, 0},
		{"of one", []float64{3}, 3, 3},
		{"of two", []float64{4, 1}, 2.5, 4},
		{"of three", []float64{9, -1, 2}, 2, 2},
		{"of four", []float64{1000, 2, 3, 1}, 2.5, 3},
	} {
		before := append([]float64(nil), c.x...)
		assert.Equal(t, c.median, Median(c.x), c.law)
		assert.Equal(t, before, append([]float64(nil), c.x...), "%s: not changed", c.law)
		assert.Equal(t, c.high, Upper(c.x), c.law)
	}
}
