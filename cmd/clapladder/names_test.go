package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

func TestALongNameIsShortened(t *testing.T) {
	got := execute(t, "", "score", strings.Repeat("rope/", 1000)+"a.wav")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Less(t, len(got.stderr), 400)
	assert.Contains(t, got.stderr, "a.wav")
}

func TestNamesInErrorsAreHarmless(t *testing.T) {
	got := execute(t, "", "score", "x\x1b[31m\u202ey.wav")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.NotContains(t, got.stderr, "\x1b")
	assert.NotContains(t, got.stderr, "\u202e")
}

func TestANameThatIsNoTextIsTakenByteForByte(t *testing.T) {
	folder := t.TempDir()
	bank := filepath.Join(folder, "b\xff\xfe.toml")
	if err := os.WriteFile(bank, []byte(lunchBank), 0o644); err != nil {
		t.Skip("this file system takes no such names")
	}
	got := execute(t, "", "check", bank)
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, got.stdout, `b\xff\xfe.toml`)

	page := filepath.Join(folder, "p\xff.html")
	got = execute(t, "", "tally", "row=got", "bell=got", "fog=partly", "--html", page)
	require.Zero(t, got.status, got.stderr)
	assert.FileExists(t, page)
}
