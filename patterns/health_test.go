package patterns

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"clapladder.example/patterns/internal/testphrase"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

func TestHealthNamesWhatIsMissing(t *testing.T) {
	bank := &bank.Bank{Entries: []bank.Entry{
		{ID: "row", Phrase: phrase("x x x x")},
		{ID: "steady", Phrase: phrase("x x x x").WithTempo(110)},
		{ID: "tie", Phrase: phrase("x x x .")},
		{ID: "storm", Phrase: phrase("x xxx xxxx x | xx xxx x x")},
		{ID: "misplaced", Phrase: phrase("x x xx x"), Tier: 5},
	}}
	h := CheckHealth(GradeBank(difficulty.DefaultModel(), bank))
	assert.Equal(t, []Twin{{"row", "steady", 0}}, h.Twins)
	assert.Contains(t, h.Holes, Hole{2, 0})
	assert.NotContains(t, h.Holes, Hole{1, 3})
	require.Len(t, h.Disagreements, 1)
	assert.Equal(t, "misplaced", h.Disagreements[0].ID)
	require.Len(t, h.Steps, 2)
	assert.Equal(t, "misplaced", h.Steps[0].To)
	assert.InDelta(t, 1.7, h.Disagreements[0].Predicted, 0.05)
	assert.InDelta(t, 3.3, h.Disagreements[0].Placed-h.Disagreements[0].Predicted, 0.05)
	assert.Empty(t, CheckHealth(nil).Holes)
}

func TestDistanceLaws(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 6))
	for range 200 {
		p, q := testphrase.Random(random), testphrase.Random(random)
		assert.Zero(t, distance(p, p))
		assert.InDelta(t, distance(p, q), distance(q, p), 1e-12)
		assert.GreaterOrEqual(t, distance(p, q), 0.0)
		assert.Zero(t, distance(p, p.WithTempo(77)))
	}
	assert.InDelta(t, 0.2, distance(phrase("x x xx x"), phrase("x x x x")), 1e-12, "one stroke of five")
	assert.InDelta(t, 0.2, distance(phrase("x x xx x"), phrase("x xx x x")), 0.21, "a stroke moved")
	assert.Zero(t, distance(phrase("x x xx x"), rhythm.MustParse("x x | xx x", "2/4", 96)),
		"bar lines are not heard")
	assert.InDelta(t, 0.125, distance(phrase("x x x x"), phrase("x x x s")), 1e-12,
		"another sound is half a stroke")
	assert.Positive(t, distance(phrase("x x x x"), phrase("x x x x | . . . .")))
}

func TestTheProposedOrderClimbsAndHoldsEveryPhraseOnce(t *testing.T) {
	graded := GradeBank(difficulty.DefaultModel(), bank.Starter())
	order := ProposeOrder(graded)
	require.Len(t, order, len(graded))
	seen := map[string]bool{}
	highest, proposed, plain := 0.0, 0.0, 0.0
	for i, g := range order {
		assert.False(t, seen[g.ID])
		seen[g.ID] = true
		assert.GreaterOrEqual(t, g.Difficulty, highest-orderSlack-1e-9, "never more than half a tier back")
		highest = max(highest, g.Difficulty)
		if i > 0 {
			proposed += distance(order[i-1].Phrase, g.Phrase)
			plain += distance(graded[i-1].Phrase, graded[i].Phrase)
		}
	}
	t.Logf("mean change from phrase to phrase: %.2f, in the order of the file %.2f", proposed/89, plain/89)
	assert.Less(t, proposed, plain)
}

func TestTheStarterBankIsHealthy(t *testing.T) {
	h := CheckHealth(GradeBank(difficulty.DefaultModel(), bank.Starter()))
	for _, hole := range h.Holes {
		t.Log(hole)
		assert.Positive(t, hole.Phrases, "every tier has a phrase")
	}
	assert.Empty(t, h.Steps)
	assert.Empty(t, h.Disagreements)
	for _, twin := range h.Twins {
		assert.Positive(t, twin.Distance, "%+v", twin)
	}
}

func ExampleCheckHealth() {
	bank := &bank.Bank{Entries: []bank.Entry{
		{ID: "row", Phrase: rhythm.MustParse("x x x x", "4/4", 96)},
		{ID: "gangway", Phrase: rhythm.MustParse("x x xx x", "4/4", 96)},
		{ID: "clave", Phrase: rhythm.MustParse("x..x ..x. ..x. x...", "4/4", 96)},
	}}
	h := CheckHealth(GradeBank(difficulty.DefaultModel(), bank))
	for _, hole := range h.Holes {
		fmt.Printf("tier %d: %d\n", hole.Tier, hole.Phrases)
	}
	for _, step := range h.Steps {
		fmt.Printf("from %s to %s: %.1f tiers\n", step.From, step.To, step.Tiers)
	}
	// Output:
	// tier 1: 1
	// tier 2: 1
	// tier 3: 0
	// tier 4: 1
	// from gangway to clave: 1.9 tiers
}
