package phrases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// What stands in tenths on the page must add up on the page.
func TestShownReasonsAddUpToTheShownDifficulty(t *testing.T) {
	m := difficulty.DefaultModel()
	for _, e := range bank.Starter().Entries {
		explained := m.Explain(e.Phrase)
		_, tenths := worthShowing(explained)
		sum := int(math.Round(10 * (explained.Plain + explained.Limit)))
		for _, x := range tenths {
			sum += x
		}
		assert.Equal(t, console.Decimal(explained.Difficulty, 1), console.Decimal(float64(sum)/10, 1), e.ID)
	}
}
