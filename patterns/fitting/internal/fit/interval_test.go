package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The interval of a mean of normal values is the mean plus and minus 1.645 standard errors.
func TestIntervalOfAMean(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 9))
	values := make([]float64, 400)
	for i := range values {
		values[i] = random.NormFloat64()
	}
	mean := func(cases []int) float64 {
		sum := 0.0
		for _, c := range cases {
			sum += values[c] / float64(len(cases))
		}
		return sum
	}
	low, high := Interval(len(values), mean)
	assert.InDelta(t, 2*1.645/math.Sqrt(400), high-low, 0.02)
	again, _ := Interval(len(values), mean)
	assert.Equal(t, low, again, "the seed is fixed")
}
