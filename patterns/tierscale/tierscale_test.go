package tierscale

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestATierIsTheNearestWholeNumberFromOne(t *testing.T) {
	for difficulty, want := range map[float64]int{Min: 1, 0.9: 1, 1.49: 1, 1.5: 2, 2.5: 3, Max: 21} {
		assert.Equal(t, want, Tier(difficulty), difficulty)
	}
	assert.Equal(t, Highest, Tier(Max-0.01), "the scale ends with the highest tier")
}

func TestClampKeepsWhatLiesOnTheScale(t *testing.T) {
	for difficulty, want := range map[float64]float64{-3: Min, Min: Min, 4.2: 4.2, Max: Max, 99: Max} {
		assert.Equal(t, want, Clamp(difficulty))
	}
}
