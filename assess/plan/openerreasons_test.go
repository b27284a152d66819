package plan

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/words"
)

func TestReasonsAreOneLineAndSayNothingAboutAPerson(t *testing.T) {
	for level := 0.0; level < 9; level += 0.7 {
		for _, c := range choose(t, Request{Belief: belief(t, level, 0.5), Split: true}).List() {
			assert.NotEmpty(t, c.Why)
			assert.NotContains(t, c.Why, "\n")
			assert.NotRegexp(t, `weak|slow learner|worst|best people`, c.Why)
			assert.LessOrEqual(t, len(c.Why), 120, c.Why)
		}
	}
}

func TestNoReasonClaimsMoreThanItsChance(t *testing.T) {
	percent := regexp.MustCompile(`(?:over |under )?\d+ %`)
	for level := -1.0; level < 9; level += 0.3 {
		for _, sd := range []float64{0.2, 0.5, 1, 2} {
			for _, c := range choose(t, Request{Belief: belief(t, level, sd), Split: true}).List() {
				for _, said := range percent.FindAllString(c.Why, -1) {
					assert.Equal(t, words.Chance(c.Chance), said, "level %g ± %g: %s", level, sd, c.Why)
				}
				if strings.Contains(c.Why, "should manage") || strings.Contains(c.Why, "the hardest") {
					assert.GreaterOrEqual(t, c.Chance, usualSure, c.Why)
				}
				if strings.Contains(c.Why, "a sure start") {
					assert.GreaterOrEqual(t, c.Chance, safeChance, c.Why)
				}
				if c.Role == Main && c.Chance < usualSure {
					assert.Contains(t, c.Why, "a risk")
				}
			}
		}
	}
}

func TestRoughlyStaysWithinHalfATenth(t *testing.T) {
	for share := 0.05; share <= 0.95; share += 0.01 {
		said := roughly(share)
		if said == "about half" {
			assert.InDelta(t, 0.5, share, 0.05+1e-9)
			continue
		}
		var tenths float64
		_, err := fmt.Sscanf(said, "about %g in 10 people", &tenths)
		require.NoError(t, err, said)
		assert.InDelta(t, tenths/10, share, 0.05+1e-9, said)
	}
	assert.Equal(t, "about 9 in 10 people", roughly(1), "never all")
}

func TestNoOpenerWhereEverythingIsUnlikely(t *testing.T) {
	o := choose(t, Request{Belief: belief(t, -4, 0.3)})
	assert.Empty(t, o.List())
	all := o.All
	assert.Len(t, all, len(quayside()))
	for i, c := range all {
		assert.Less(t, c.Chance, leastChance)
		assert.True(t, i == 0 || all[i-1].Difficulty <= c.Difficulty, "the easiest first")
	}
}
