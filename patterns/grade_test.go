package patterns

import (
	"fmt"
	"testing"

	"clapladder.example/patterns/internal/testphrase"
	"clapladder.example/patterns/tierscale"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

func phrase(notation string) rhythm.Phrase { return rhythm.MustParse(notation, "4/4", 96) }

func TestTheLeadersPlacingWins(t *testing.T) {
	p := phrase("x x xx x")
	m := difficulty.DefaultModel()
	own := m.Difficulty(p)
	tier := tierscale.Tier(own)
	for name, c := range map[string]struct {
		entry      bank.Entry
		difficulty float64
		tier       int
		pinned     bool
	}{
		"no placing":                        {bank.Entry{}, own, tier, false},
		"a tier the model agrees with":      {bank.Entry{Tier: tier}, own, tier, true},
		"another tier":                      {bank.Entry{Tier: 5}, 5, 5, true},
		"a difficulty":                      {bank.Entry{Difficulty: 3.4}, 3.4, 3, true},
		"a difficulty wins over a tier":     {bank.Entry{Tier: 6, Difficulty: 4.6}, 4.6, 5, true},
		"half a tier rounds up":             {bank.Entry{Difficulty: 2.5}, 2.5, 3, true},
		"below half a tier is tier 1 still": {bank.Entry{Difficulty: 0.2}, 0.2, 1, true},
	} {
		c.entry.ID, c.entry.Phrase = "gangway", p
		g := GradeBank(m, &bank.Bank{Entries: []bank.Entry{c.entry}})[0]
		assert.InDelta(t, c.difficulty, g.Difficulty, 1e-12, name)
		assert.Equal(t, c.tier, g.Tier, name)
		assert.Equal(t, c.pinned, g.Pinned, name)
		assert.InDelta(t, own, g.Predicted, 1e-12, name)
	}
}

func TestPlacingsThroughoutMoveTheScale(t *testing.T) {
	m := difficulty.DefaultModel()
	placed := &bank.Bank{}
	for i, p := range testphrase.OneBar()[:12] {
		e := bank.Entry{ID: fmt.Sprint("p", i), Phrase: p}
		if i < 9 {
			e.Tier = tierscale.Tier(m.Difficulty(p)) + 2 // this leader counts from 3
		}
		placed.Entries = append(placed.Entries, e)
	}
	anchored := Anchor(m, placed)
	shift := anchored.Difficulty(phrase("x x x x")) - 1
	assert.InDelta(t, 2, shift, 0.5)
	for i, g := range GradeBank(m, placed) {
		want := tierscale.Clamp(m.Unlimited(g.Phrase) + shift)
		assert.InDelta(t, want, g.Predicted, 1e-9, "one shift for all")
		if i >= 9 {
			assert.InDelta(t, g.Predicted, g.Difficulty, 1e-12)
		}
	}
	assert.Equal(t, GradeBank(m, placed), GradeBank(m, placed))

	few := &bank.Bank{Entries: placed.Entries[2:]} // 7 of 10
	assert.Same(t, m, Anchor(m, few), "too few placings")
	for i := range placed.Entries {
		placed.Entries[i].Tier, placed.Entries[i].Difficulty = 0, 9
	}
	assert.Same(t, m, Anchor(m, placed), "difficulties may come from learning")
}

func TestAPieceIsAsHardAsItsCore(t *testing.T) {
	m := difficulty.DefaultModel()
	easy, middle, hard := phrase("x x x x"), phrase("x x xx x"), phrase("x..x .x .x x")
	piece := bank.Piece{ID: "windlass", Parts: []bank.Part{
		{Role: bank.Support, Phrase: easy}, {Role: bank.Core, Phrase: middle}, {
			Role:   bank.Lead,
			Phrase: hard,
		}, {Role: bank.Core, Phrase: easy},
	}}
	g := GradeRepertoire(m, &bank.Repertoire{Pieces: []bank.Piece{piece}})[0]
	assert.InDelta(t, m.Difficulty(middle), g.Difficulty, 1e-12, "the harder of two core parts")
	require.Len(t, g.Parts, 4)
	assert.Less(t, g.Parts[0].Difficulty, g.Difficulty)
	assert.Greater(t, g.Parts[2].Difficulty, g.Difficulty)
	support, ok := g.Easiest(bank.Support)
	require.True(t, ok)
	assert.InDelta(t, 1, support.Difficulty, 1e-9)

	piece.Tier = 6
	g = GradeRepertoire(m, &bank.Repertoire{Pieces: []bank.Piece{piece}})[0]
	assert.Equal(t, 6, g.Tier)
	assert.InDelta(t, 6, g.Difficulty, 1e-12)
	assert.InDelta(t, m.Difficulty(hard), g.Parts[2].Difficulty, 1e-12, "the placing is the core's")

	none := GradeRepertoire(m, &bank.Repertoire{Pieces: []bank.Piece{{ID: "empty"}}})[0]
	assert.Zero(t, none.Difficulty)
}

func ExampleGradeBank() {
	bank, err := bank.Load("bank.toml", []byte(`
[[phrase]]
id = "gangway"
meter = "4/4"
rhythm = "x x xx x"

[[phrase]]
id = "anchor"
meter = "4/4"
rhythm = "xx .x .x x"
tier = 5
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, g := range GradeBank(difficulty.DefaultModel(), bank) {
		fmt.Printf("%s: tier %d, difficulty %.1f, predicted %.1f\n", g.ID, g.Tier, g.Difficulty,
			g.Predicted)
	}
	// Output:
	// gangway: tier 2, difficulty 1.7, predicted 1.7
	// anchor: tier 5, difficulty 5.0, predicted 2.9
}
