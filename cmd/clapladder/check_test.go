package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/patterns/bank"
)

const brokenBank = `[[phrase]]
id = "mast"
meter = "4/4"
rhythm = "x x xx"

[[phrase]]
id = "mast"
meter = "4/4"
tempo = "fast"
rhythm = "x q x x"
`

func TestCheckListsEveryProblemWithItsPlace(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("lunch.toml", []byte(brokenBank), 0o644))
	got := execute(t, "", "check", "lunch.toml")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Equal(t, "clapladder: lunch.toml: 4 problems to put right\n", got.stderr)
	for _, place := range []string{
		"lunch.toml, line 4,", "lunch.toml, line 7, column 6: ",
		"lunch.toml, line 9, column 9: ", "lunch.toml, line 10, column 13: ",
	} {
		assert.Contains(t, got.stdout, place)
	}
	assert.Contains(t, got.stdout, "    rhythm = \"x q x x\"\n                ^\n")
}

func TestCheckAcceptsWhatCanBeUsed(t *testing.T) {
	folder := t.TempDir()
	path, pieces := filepath.Join(folder, "b.toml"), filepath.Join(folder, "p.toml")
	require.NoError(t, os.WriteFile(path, bank.StarterText(), 0o644))
	require.NoError(t, os.WriteFile(pieces, bank.StarterRepertoireText(), 0o644))
	got := execute(t, "", "check", path, pieces)
	assert.Zero(t, got.status, got.stdout)
	assert.Empty(t, got.stderr)
	assert.Regexp(t, `b\.toml: \d+ phrases, nothing to put right\n\n.*p\.toml: \d+ pieces, nothing to put right\n`, got.stdout)
}

func TestRemarksDoNotMakeAFileUnusable(t *testing.T) {
	got := execute(t, "[[phrase]]\nid = \"oars\"\nmeter = \"2/4\"\nrhythm = \"xx\"\n", "check", "-")
	assert.Zero(t, got.status)
	assert.Contains(t, got.stdout, "standard input, line 4, column 11: remark: ")
	assert.Contains(t, got.stdout, "standard input: 1 phrase, nothing to put right, 1 remark\n")
}

func TestCheckAsJSON(t *testing.T) {
	got := execute(t, brokenBank, "check", "-", "--json")
	assert.Equal(t, fault.ExitInput, got.status)
	var files []struct {
		Kind     string
		Problems []struct{ Line int }
	}
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &files))
	require.Len(t, files, 1)
	assert.Equal(t, "bank", files[0].Kind)
	assert.Len(t, files[0].Problems, 4)
	assert.Equal(t, 4, files[0].Problems[0].Line)
}
