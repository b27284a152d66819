package view

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/plan"
	"clapladder.example/assess/view/internal/picture"
	"clapladder.example/assess/view/internal/wording"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

func cardCall(name, notation, meter string, tier int) plan.CardCall {
	p := rhythm.MustParse(notation, meter, 96)
	return plan.CardCall{
		Phrase: strings.ToLower(name), Name: name, Notation: p.String(), Meter: meter, Tempo: 96,
		Difficulty: float64(tier), Tier: tier, Rhythm: p,
	}
}

// sampleCard is a small card: two steps of branching.
func sampleCard() *plan.Card {
	return &plan.Card{
		Schema: "clapladder/card/1", Tempo: 96, Comfort: 0.7,
		Opening: []plan.CardCall{
			cardCall("Row the boat home", "x x x x", "4/4", 1),
			cardCall("Tie it fast", "x x x .", "4/4", 1),
		},
		Branch: []plan.CardCell{
			{
				CardCall: cardCall("Heave & heave, now rest", "x .x . .x | . x x .", "4/4", 5),
				Place:    "A1", Got: "A2", Lost: "B1", Share: 0.6,
			},
			{
				CardCall: cardCall("Tug, tug, haul", "s s X", "7/8=2+2+3", 8), Place: "A2", Column: 1,
				Got: "end 3", Lost: "end 2",
			},
			{
				CardCall: cardCall("Bell, ring out", "x . x x", "4/4", 2), Place: "B1", Row: 1,
				Got: "end 2", Lost: "end 1",
			},
		},
		Closing: []plan.CardCall{cardCall("Row the boat home", "x x x x", "4/4", 1)},
		Ends: []plan.CardEnd{
			{Place: "end 1", Tier: 0, Chance: 0.8, Low: 0, High: 1},
			{Place: "end 2", Got: 1, Tier: 3, Chance: 0.5, Low: 2, High: 5},
			{Place: "end 3", Got: 2, Tier: 7, Chance: 0.995, Low: 7, High: 7},
		},
		Remarks: []string{"the bank has few phrases above tier 5"},
	}
}

func TestCardAsText(t *testing.T) {
	for file, style := range map[string]Style{"card-unicode.txt": {Unicode: true}, "card-ascii.txt": {}} {
		var b strings.Builder
		require.NoError(t, CardText(&b, sampleCard(), spoken.Counting, style))
		expectFile(t, file, b.String())
		for line := range strings.Lines(b.String()) {
			assert.LessOrEqual(t, wording.Width(line), 80, line)
		}
	}
}

func TestCardAsAPicture(t *testing.T) {
	var b strings.Builder
	require.NoError(t, CardSVG(&b, sampleCard(), spoken.Counting))
	root := wellFormed(t, b.String())
	assert.InDelta(t, 297.0/210, atof(t, root["width"])/atof(t, root["height"]), 0.03,
		"the shape of the paper")
	for _, colour := range []string{picture.Ink, picture.Sea, picture.Rust, picture.Paper} {
		assert.NotContains(t, b.String(), colour, "black on white")
	}
	expectFile(t, "card.svg", b.String())
}

func TestCardAsAPage(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, CardHTML(&b, sampleCard(), spoken.Counting, "A5", Page{Title: "Lunch <hour>"}))
	expectFile(t, "card.html", b.String())
	got := b.String()
	assert.Contains(t, got, "size:A5 landscape")
	assert.Contains(t, got, "<title>Lunch &lt;hour&gt;</title>")
	assert.Contains(t, got, "<b>A2</b> Tug, tug, haul: s s X in 7/8=2&#43;2&#43;3, at 96. Got it: end 3. Lost: end 2.")
	assert.NotContains(t, got, "<script")
	for _, write := range []func(io.Writer) error{
		func(w io.Writer) error { return CardHTML(w, sampleCard(), spoken.Counting, "A4", Page{}) },
		func(w io.Writer) error { return CardSVG(w, sampleCard(), spoken.Counting) },
		func(w io.Writer) error { return CardText(w, sampleCard(), spoken.Counting, Style{}) },
	} {
		assert.ErrorIs(t, write(brokenWriter{}), errFull)
	}
}

func TestEveryCellAndEndOfACardIsDrawn(t *testing.T) {
	var b strings.Builder
	system, err := spoken.ParseSystem("south-indian")
	require.NoError(t, err)
	require.NoError(t, CardSVG(&b, sampleCard(), system))
	for _, place := range []string{
		">A1<", ">A2<", ">B1<", ">tier 3<", ">tier 7<", ">below tier 1<",
		">over 99 %<", ">50 %, tier 2 to 5<", ">80 %, at most tier 1<",
	} {
		assert.Contains(t, b.String(), place)
	}
}
