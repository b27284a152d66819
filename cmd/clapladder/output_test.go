package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

func TestAPageIsWrittenBesideTheText(t *testing.T) {
	taps := write(t, "pads.csv", fourPlainBeats)
	page := filepath.Join(t.TempDir(), "report.html")
	got := execute(t, "", "score", "--taps", taps, "--html", page, "--title", "Lunch hour")
	require.Zero(t, got.status, got.stderr)
	assert.Equal(t, "clapladder: wrote "+page+"\n", got.stderr)
	assert.Contains(t, got.stdout, "No tier yet")
	html, err := os.ReadFile(page)
	require.NoError(t, err)
	assert.Contains(t, string(html), "<title>Lunch hour: No tier yet</title>")

	again := execute(t, "", "score", "--taps", taps, "--html", page)
	assert.Zero(t, again.status, "an older page is replaced")
	piped := execute(t, "", "score", "--taps", taps, "--html", "-", "--title", "Lunch hour")
	assert.Equal(t, string(html), piped.stdout)
}

func TestAnInputIsNeverOverwritten(t *testing.T) {
	taps := write(t, "pads.csv", fourPlainBeats)
	got := execute(t, "", "score", "--taps", taps, "--html", taps)
	assert.Equal(t, fault.ExitUsage, got.status)
	assert.Contains(t, got.stderr, taps+" is read by this command; write to another file\n")
	data, err := os.ReadFile(taps)
	require.NoError(t, err)
	assert.Equal(t, fourPlainBeats, string(data))
}

func TestAPageThatCannotBeWrittenIsAFailure(t *testing.T) {
	page := filepath.Join(t.TempDir(), "none", "report.html")
	got := execute(t, "", "score", "--taps", write(t, "pads.csv", fourPlainBeats), "--html", page)
	assert.Equal(t, fault.ExitFailed, got.status)
	assert.Equal(t, "clapladder: writing "+page+": no such file or directory\n", got.stderr)
	assert.Empty(t, got.stdout)
}

func TestFlagsOfThePageNeedThePage(t *testing.T) {
	taps := write(t, "pads.csv", fourPlainBeats)
	got := execute(t, "", "score", "--taps", taps, "--title", "x")
	assert.Equal(t, fault.ExitUsage, got.status)
	got = execute(t, "", "score", "--taps", taps, "--html", "-", "--json")
	assert.Equal(t, fault.ExitUsage, got.status)
}
