//go:build cgo && !race

package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// program takes the first block of a language from the page.
func program(t *testing.T, language string) string {
	t.Helper()
	page, err := os.ReadFile("README.md")
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)```" + language + "\n(.*?)```").FindStringSubmatch(string(page))
	require.NotNil(t, block)
	return block[1]
}

// TestTheProgramsOfThePageRun builds the library as the page says and lets the page's C and Python
// programs score the demo.
func TestTheProgramsOfThePageRun(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the page's commands are for Unix shells")
	}
	if testing.Short() {
		t.Skip("builds a library")
	}
	if _, err := exec.LookPath("cc"); err != nil {
		t.Skip("there is no C compiler")
	}
	folder := t.TempDir()
	library := filepath.Join(folder, "libclapladder.so")
	if runtime.GOOS == "darwin" {
		library = filepath.Join(folder, "libclapladder.dylib")
	}
	run := func(name string, args ...string) []byte {
		t.Helper()
		command := exec.CommandContext(t.Context(), name, args...)
		command.Env = append(os.Environ(), "LD_LIBRARY_PATH="+folder, "DYLD_LIBRARY_PATH="+folder,
			"CGO_ENABLED=1")
		var errs bytes.Buffer
		command.Stderr = &errs
		out, err := command.Output()
		require.NoError(t, err, errs.String())
		return out
	}
	run("go", "build", "-buildmode=c-shared", "-o", library, ".")
	recording := filepath.Join("..", "..", "testdata", "boatyard-lunch.wav")
	var tier *int

	t.Run("C", func(t *testing.T) {
		source := filepath.Join(folder, "score.c")
		require.NoError(t, os.WriteFile(source, []byte(program(t, "c")), 0o644))
		run("cc", "-Wall", "-Wextra", "-Werror", source, "-I", ".", "-L", folder, "-lclapladder",
			"-o", filepath.Join(folder, "score"))
		var answer struct {
			Report struct {
				Group struct {
					Tier *int `json:"tier"`
				} `json:"group"`
			} `json:"report"`
		}
		require.NoError(t, json.Unmarshal(run(filepath.Join(folder, "score"), recording), &answer))
		tier = answer.Report.Group.Tier
		require.NotNil(t, tier)
	})
	t.Run("Python", func(t *testing.T) {
		python, err := exec.LookPath("python3")
		if err != nil {
			t.Skip("there is no Python")
		}
		source := filepath.Join(folder, "score.py")
		require.NoError(t, os.WriteFile(source, []byte(program(t, "python")), 0o644))
		said := strings.TrimSpace(string(run(python, source, library, recording)))
		if tier != nil {
			assert.Equal(t, *tier, int(said[0]-'0'))
		}
		text := filepath.Join(folder, "text.wav")
		require.NoError(t, os.WriteFile(text, []byte("not sound"), 0o644))
		assert.Contains(t, string(run(python, source, library, text)), "this is a text file")
	})
}
