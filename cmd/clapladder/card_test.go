package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/plan"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/patterns/bank"
)

func TestCardBeginsAndEndsOnPlainBeatsAndNamesPhrasesOfTheBank(t *testing.T) {
	got := execute(t, "", "card", "--json", "--calls", "9")
	require.Zero(t, got.status, got.stderr)
	var card plan.Card
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &card))
	assert.Equal(t, "clapladder/card/1", card.Schema)
	assert.Equal(t, 9, card.Calls())
	assert.Equal(t, "x x x x", card.Opening[0].Notation)
	assert.Equal(t, "x x x x", card.Closing[len(card.Closing)-1].Notation)
	path := bank.Starter()
	for _, cell := range card.Branch {
		_, ok := path.Find(cell.Phrase)
		assert.True(t, ok, cell.Phrase)
	}
	text := execute(t, "", "card", "--calls", "9")
	for _, cell := range card.Branch {
		assert.Contains(t, text.stdout, "\n"+cell.Place+"  ")
	}
}

func TestCardKeepsOnePulse(t *testing.T) {
	got := execute(t, "", "card", "--json", "--tempo", "88")
	var card plan.Card
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &card))
	for _, cell := range card.Branch {
		assert.InDelta(t, 88, cell.Tempo, 1e-9, cell.Place)
	}
	assert.True(t, strings.HasPrefix(execute(t, "", "card", "--tempo", "88").stdout,
		"Warm-up card: 8 calls at 88 beats a minute\n"))
}

func TestCardIsWrittenToFiles(t *testing.T) {
	folder := t.TempDir()
	svg, html := filepath.Join(folder, "card.svg"), filepath.Join(folder, "card.html")
	got := execute(t, "", "card", "--svg", svg, "--html", html, "--paper", "A5")
	require.Zero(t, got.status, got.stderr)
	assert.Equal(t, "clapladder: wrote "+svg+"\nclapladder: wrote "+html+"\n", got.stderr)
	assert.Empty(t, got.stdout)
	picture, err := os.ReadFile(svg)
	require.NoError(t, err)
	page, err := os.ReadFile(html)
	require.NoError(t, err)
	assert.Contains(t, string(page), strings.TrimSpace(string(picture)))
	assert.Equal(t, string(picture), execute(t, "", "card", "--svg", "-").stdout)
}

func TestCardRefusesWhatDoesNotGoTogether(t *testing.T) {
	for _, test := range []struct {
		args []string
		want string
	}{
		{[]string{"--calls", "3"}, "--calls is 3; write a number from 8 to 12"},
		{[]string{"--tempo", "5"}, "--tempo is 5; write a number from 20 to 400"},
		{[]string{"--say", "latin"}, "--say: "},
		{
			[]string{"--svg", "-", "--json"},
			"only one of --json, --svg - and --html - can write to standard output",
		},
		{[]string{"--title", "x"}, "--title and --open are about the page; add --html FILE"},
		{[]string{"--paper", "A3"}, "--paper must be one of"},
	} {
		got := execute(t, "", append([]string{"card"}, test.args...)...)
		assert.Equal(t, fault.ExitUsage, got.status, test.args)
		assert.True(t, strings.HasPrefix(got.stderr, "clapladder: "+test.want), got.stderr)
	}
}
