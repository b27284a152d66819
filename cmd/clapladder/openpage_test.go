package main

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

func TestOpenShowsTheWrittenPage(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("stands in for the opener of Linux")
	}
	folder := t.TempDir()
	shown := filepath.Join(folder, "shown")
	require.NoError(t, os.WriteFile(filepath.Join(folder, "xdg-open"),
		[]byte("#!/bin/sh\nprintf %s \"$1\" > "+shown+"\n"), 0o755))
	t.Setenv("PATH", folder+string(os.PathListSeparator)+os.Getenv("PATH"))
	page := filepath.Join(folder, "-page.html")
	got := execute(t, "", "tally", "row=got", "--html", page, "--open")
	require.Zero(t, got.status, got.stderr)
	text, err := os.ReadFile(shown)
	require.NoError(t, err)
	assert.Equal(t, page, string(text))

	for _, args := range [][]string{
		{"tally", "row=got", "--open"},
		{"card", "--open"},
		{"tally", "row=got", "--open", "--html", "-"},
	} {
		got := execute(t, "", args...)
		assert.Equal(t, fault.ExitUsage, got.status)
		assert.Contains(t, got.stderr, "--title and --open are about the page; add --html FILE")
	}
	t.Setenv("PATH", t.TempDir())
	got = execute(t, "", "tally", "row=got", "--html", page, "--open")
	assert.Zero(t, got.status)
	assert.Contains(t, got.stderr, "there is nothing to show it with; open "+page)
}

func TestThePageCarriesItsDate(t *testing.T) {
	got := execute(t, "", "tally", "row=got", "--known", "quay", "--history", savedAlone(t),
		"--date", "2025-03-18", "--html", "-")
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, got.stdout, "18 March 2025")
}

func TestTempoOfUnequalBeatsCountsQuarters(t *testing.T) {
	assert.Contains(t, execute(t, "", "show", "--rhythm", "xx xx xxx", "--meter",
		"7/8=2+2+3").stdout, "at 96 quarters a minute")
	assert.Contains(t, execute(t, "", "show", "--rhythm", "x x x x").stdout, "at 96 beats a minute")
}

func TestABarInShorterBoxesIsUnderstood(t *testing.T) {
	assert.Contains(t, execute(t, "", "show", "--rhythm", "x.x. x.x.").stderr,
		"if each box is an eighth: x. x. x. x.")
	assert.Contains(t, execute(t, "", "show", "--rhythm", "x.x.x.x. x..xx.x.").stderr,
		"if each box is a sixteenth: x.x. x.x. x..x x.x.")
	assert.Contains(t, execute(t, "", "show", "--rhythm", "x x x").stderr, `write "." for each silent beat`)
}
