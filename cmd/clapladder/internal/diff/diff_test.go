package diff

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestUnifiedShowsChangesWithLinesAround(t *testing.T) {
	before := "1\n2\n3\n4\n5\n6\n7\n8\n9\n10\n11\n12\n"
	after := "1\n2\n3\n4\nfive\n6\n7\n8\n9\n10\n11\n12\n13\n"
	assert.Equal(t, strings.Join([]string{
		"--- bank.toml", "+++ bank.toml",
		"@@ -2,7 +2,7 @@", " 2", " 3", " 4", "-5", "+five", " 6", " 7", " 8",
		"@@ -10,3 +10,4 @@", " 10", " 11", " 12", "+13", "",
	}, "\n"), Unified("bank.toml", before, after))
	assert.Empty(t, Unified("x", before, before))
}

func TestUnifiedOfEmptyTexts(t *testing.T) {
	assert.Equal(t, "--- x\n+++ x\n@@ -0,0 +1 @@\n+a\n", Unified("x", "", "a\n"))
	assert.Equal(t, "--- x\n+++ x\n@@ -1 +0,0 @@\n-a\n", Unified("x", "a\n", ""))
}

func TestUnifiedSaysWhereTheLastLineBreakIsMissing(t *testing.T) {
	assert.Equal(t, "--- x\n+++ x\n@@ -1 +1 @@\n-a\n\\ No newline at end of file\n+a\n", Unified("x", "a", "a\n"))
}

// TestPatchTurnsOneTextIntoTheOther checks against patch(1), where it is installed, on random texts.
func TestPatchTurnsOneTextIntoTheOther(t *testing.T) {
	patch, err := exec.LookPath("patch")
	if err != nil {
		t.Skip("no patch on the PATH")
	}
	random := rand.New(rand.NewPCG(1, 2))
	text := func() string {
		var b strings.Builder
		for range random.IntN(30) {
			fmt.Fprintf(&b, "%d\n", random.IntN(6))
		}
		return b.String()
	}
	folder := t.TempDir()
	path := filepath.Join(folder, "x")
	for range 25 {
		before, after := text(), text()
		if before == after || before == "" || after == "" {
			continue
		}
		require.NoError(t, os.WriteFile(path, []byte(before), 0o644))
		run := exec.CommandContext(t.Context(), patch, "-s", path)
		run.Stdin = strings.NewReader(Unified("x", before, after))
		out, err := run.CombinedOutput()
		require.NoError(t, err, string(out))
		got, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Equal(t, after, string(got))
	}
}

// apply rebuilds the second text from edits, and checks the first.
func apply(t *testing.T, edits []edit) (old, fresh string) {
	t.Helper()
	for _, e := range edits {
		if e.kind != '+' {
			old += e.text
		}
		if e.kind != '-' {
			fresh += e.text
		}
	}
	return old, fresh
}

func FuzzScriptRebuildsBothTexts(f *testing.F) {
	f.Add("a\nb\nc\n", "a\nc\nd\n")
	f.Add("", "x")
	f.Add("x\n\n\n", "\n")
	f.Fuzz(func(t *testing.T, before, after string) {
		if len(before)+len(after) > 4000 {
			return
		}
		old, fresh := apply(t, script(lines(before), lines(after)))
		assert.Equal(t, before, old)
		assert.Equal(t, after, fresh)
		Unified("x", before, after)
	})
}
