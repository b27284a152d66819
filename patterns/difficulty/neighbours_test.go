package difficulty

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"clapladder.example/patterns/internal/testphrase"
	"clapladder.example/patterns/tierscale"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/internal/golden"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func TestNeighboursOfSomePhrases(t *testing.T) {
	var text strings.Builder
	m := DefaultModel()
	for _, c := range explained {
		p := rhythm.MustParse(c.notation, c.meter, c.tempo)
		fmt.Fprintf(&text, "%s, %s at %g: %.2f\n", p, c.meter, c.tempo, m.Difficulty(p))
		for _, n := range m.Easier(p) {
			fmt.Fprintf(&text, "  easier %.2f  %-30s %3.0f  %s\n", n.Difficulty, n.Phrase,
				n.Phrase.Tempo(), n.Change())
		}
		for _, n := range m.Harder(p) {
			fmt.Fprintf(&text, "  harder %.2f  %-30s %3.0f  %s\n", n.Difficulty, n.Phrase,
				n.Phrase.Tempo(), n.Change())
		}
	}
	golden.Compare(t, "neighbours.txt", text.String())
}

func TestNeighboursLieOnTheirSideAndKeepTheirCharacter(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 4))
	m := DefaultModel()
	for range 60 {
		p := testphrase.Random(random)
		own := m.Difficulty(p)
		for direction, list := range map[float64][]Neighbour{-1: m.Easier(p), 1: m.Harder(p)} {
			assert.LessOrEqual(t, len(list), neighbourCount)
			for _, n := range list {
				assert.Positive(t, (n.Difficulty-own)*direction, "%s from %s", n.Phrase, p)
				assert.Equal(t, m.Difficulty(n.Phrase), n.Difficulty)
				assert.Equal(t, p.Meter(), n.Phrase.Meter())
				assert.False(t, p.Equal(n.Phrase) && p.Tempo() == n.Phrase.Tempo())
				assert.NotEmpty(t, n.Change())
				assert.LessOrEqual(t, len(n.Changes), neighbourDepth)
				again, err := rhythm.Parse(n.Phrase.String(), n.Phrase.Meter(), n.Phrase.Tempo())
				require.NoError(t, err)
				assert.True(t, again.Equal(n.Phrase))
			}
		}
	}
}

// Most phrases above tier 2 have a neighbour about a tier down: that is what a leader falls back
// to.
func TestTheStarterBankHasFallbacks(t *testing.T) {
	m, with, all := DefaultModel(), 0.0, 0.0
	for _, e := range bank.Starter().Entries {
		own := m.Difficulty(e.Phrase)
		if own < 2.5 {
			continue
		}
		all++
		for _, n := range m.Easier(e.Phrase) {
			if math.Abs(n.Difficulty-own+1) <= neighbourNear {
				with++
				break
			}
		}
	}
	t.Logf("%.0f of %.0f phrases have an easier neighbour within half a tier of one tier down", with, all)
	assert.Greater(t, with/all, 0.85)
}

func TestTheSimplestPhrasesHaveNoEasierNeighbour(t *testing.T) {
	m := DefaultModel()
	assert.Empty(t, m.Easier(rhythm.MustParse("x x", "2/4", 96)))
	assert.Empty(t, m.Easier(rhythm.Phrase{}))
	assert.Empty(t, m.Harder(rhythm.Phrase{}))
	assert.NotEmpty(t, m.Harder(rhythm.MustParse("x x", "2/4", 96)))
}

// Every variant that is offered moves the way it says, by the model and without the ends of the
// scale; and every phrase but the shortest has one either way.
func TestVariantsOfEveryStarterPhraseMoveTheRightWay(t *testing.T) {
	m := DefaultModel()
	for _, e := range bank.Starter().Entries {
		own := m.Unlimited(e.Phrase)
		easier, harder := m.Easier(e.Phrase), m.Harder(e.Phrase)
		for _, n := range easier {
			assert.Less(t, m.Unlimited(n.Phrase), own, "%s: %s", e.ID, n.Change())
		}
		for _, n := range harder {
			assert.Greater(t, m.Unlimited(n.Phrase), own, "%s: %s", e.ID, n.Change())
		}
		assert.NotEmpty(t, harder, e.ID)
		assert.True(t, len(easier) > 0 || own < 0.6, e.ID)
	}
}

func TestNeighboursOfLongPhrasesAreBounded(t *testing.T) {
	bar := "xx .x x.xx x|x xx .x xx"
	long := rhythm.MustParse(strings.TrimSuffix(strings.Repeat(bar+"|", 32), "|"), "4/4", 96)
	for _, n := range DefaultModel().Easier(long) {
		assert.Less(t, n.Difficulty, tierscale.Max)
	}
	assert.Empty(t, DefaultModel().Harder(long), "nothing is harder than the end of the scale")
}

func ExampleModel_Easier() {
	p := rhythm.MustParse("xx .x .x xx", "4/4", 96)
	for _, n := range DefaultModel().Easier(p)[:2] {
		fmt.Printf("%.1f  %s  %s\n", n.Difficulty, n.Phrase, n.Change())
	}
	// Output:
	// 2.0  xx .x x .  only the first half, with one stroke on beat 3
	// 2.1  xx . xx x  move the clap from the “and” of 2 to beat 3; then stop on beat 4
}
