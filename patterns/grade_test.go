package patterns

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func phrase(notation string) rhythm.Phrase { return rhythm.MustParse(notation, "4/4", 96) }

func TestTheLeadersPlacingWins(t *testing.T) {
	p := phrase("x x xx x")
	m := DefaultModel()
	own := m.Difficulty(p)
	tier := TierOf(own)
	for name, c := range map[string]struct {
		entry      Entry
		difficulty float64
		tier       int
		pinned     bool
	}{
		"no placing":                        {Entry{}, own, tier, false},
		"a tier the model agrees with":      {Entry{Tier: tier}, own, tier, true},
		"another tier":                      {Entry{Tier: 5}, 5, 5, true},
		"a difficulty":                      {Entry{Difficulty: 3.4}, 3.4, 3, true},
		"a difficulty wins over a tier":     {Entry{Tier: 6, Difficulty: 4.6}, 4.6, 5, true},
		"half a tier rounds up":             {Entry{Difficulty: 2.5}, 2.5, 3, true},
		"below half a tier is tier 1 still": {Entry{Difficulty: 0.2}, 0.2, 1, true},
	} {
		c.entry.ID, c.entry.Phrase = "gangway", p
		g := GradeBank(m, &Bank{Entries: []Entry{c.entry}})[0]
		assert.InDelta(t, c.difficulty, g.Difficulty, 1e-12, name)
		assert.Equal(t, c.tier, g.Tier, name)
		assert.Equal(t, c.pinned, g.Pinned, name)
		assert.InDelta(t, own, g.Predicted, 1e-12, name)
	}
}

func TestPlacingsThroughoutMoveTheScale(t *testing.T) {
	m := DefaultModel()
	bank := &Bank{}
	for i, p := range oneBarPhrases()[:12] {
		e := Entry{ID: fmt.Sprint("p", i), Phrase: p}
		if i < 9 {
			e.Tier = TierOf(m.Difficulty(p)) + 2 // this leader counts from 3
		}
		bank.Entries = append(bank.Entries, e)
	}
	anchored := m.Anchor(bank)
	shift := anchored.Difficulty(phrase("x x x x")) - 1
	assert.InDelta(t, 2, shift, 0.5)
	for i, g := range GradeBank(m, bank) {
		assert.InDelta(t, m.Difficulty(g.Phrase)+shift, g.Predicted, 1e-9, "one shift for all")
		if i >= 9 {
			assert.InDelta(t, g.Predicted, g.Difficulty, 1e-12)
		}
	}
	assert.Equal(t, GradeBank(m, bank), GradeBank(m, bank))

	few := &Bank{Entries: bank.Entries[2:]} // 7 of 10
	assert.Same(t, m, m.Anchor(few), "too few placings")
	for i := range bank.Entries {
		bank.Entries[i].Tier, bank.Entries[i].Difficulty = 0, 9
	}
	assert.Same(t, m, m.Anchor(bank), "difficulties may come from learning")
}

func TestAPieceIsAsHardAsItsCore(t *testing.T) {
	m := DefaultModel()
	easy, middle, hard := phrase("x x x x"), phrase("x x xx x"), phrase("x..x .x .x x")
	piece := Piece{ID: "windlass", Parts: []Part{
		{Role: Support, Phrase: easy}, {Role: Core, Phrase: middle}, {Role: Lead, Phrase: hard}, {Role: Core, Phrase: easy},
	}}
	g := GradeRepertoire(m, &Repertoire{Pieces: []Piece{piece}})[0]
	assert.InDelta(t, m.Difficulty(middle), g.Difficulty, 1e-12, "the harder of two core parts")
	require.Len(t, g.Parts, 4)
	assert.Less(t, g.Parts[0].Difficulty, g.Difficulty)
	assert.Greater(t, g.Parts[2].Difficulty, g.Difficulty)
	support, ok := g.Easiest(Support)
	require.True(t, ok)
	assert.InDelta(t, 1, support.Difficulty, 1e-9)

	piece.Tier = 6
	g = GradeRepertoire(m, &Repertoire{Pieces: []Piece{piece}})[0]
	assert.Equal(t, 6, g.Tier)
	assert.InDelta(t, 6, g.Difficulty, 1e-12)
	assert.InDelta(t, m.Difficulty(hard), g.Parts[2].Difficulty, 1e-12, "the placing is the core's")

	none := GradeRepertoire(m, &Repertoire{Pieces: []Piece{{ID: "empty"}}})[0]
	assert.Zero(t, none.Difficulty)
}

func ExampleGradeBank() {
	bank, err := LoadBank("bank.toml", []byte(`
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
	for _, g := range GradeBank(DefaultModel(), bank) {
		fmt.Printf("%s: tier %d, difficulty %.1f, predicted %.1f\n", g.ID, g.Tier, g.Difficulty, g.Predicted)
	}
	// Output:
	// gangway: tier 2, difficulty 2.3, predicted 2.3
	// anchor: tier 5, difficulty 5.0, predicted 3.5
}
