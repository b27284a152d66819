//go:build linux

package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTheScriptsOfTheBatchPageRun takes the shell scripts of BATCH.md as they stand there and runs
// them over three recordings, one of which is none.
func TestTheScriptsOfTheBatchPageRun(t *testing.T) {
	page, err := os.ReadFile("BATCH.md")
	require.NoError(t, err)
	scripts := regexp.MustCompile("(?s)```sh\n(.*?)```").FindAllStringSubmatch(string(page), -1)
	require.Len(t, scripts, 3)
	folder := t.TempDir()
	put := func(name, text string) {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(folder, name)), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o755))
	}
	program, err := os.Executable()
	require.NoError(t, err)
	put("clapladder", fmt.Sprintf("#!/bin/sh\n%s=0 exec %q \"$@\"\n", asProgram, program))
	put("my-bank.toml", lunchBank)
	put("recordings/a.wav", string(clappedAlone(t, "x x xx x")))
	put("recordings/b.wav", "no sound")
	put("recordings/it's c.wav", string(clappedAlone(t, "x .x x x")))
	run := func(name, script string) (string, error) {
		put(name, script)
		command := exec.CommandContext(t.Context(), "sh", name)
		command.Dir = folder
		out, err := command.CombinedOutput()
		return string(out), err
	}

	t.Run("a job array", func(t *testing.T) {
		list, err := filepath.Glob(filepath.Join(folder, "recordings", "*.wav"))
		require.NoError(t, err)
		put("list.txt", strings.Join(list, "\n")+"\n")
		put("score-slice.sh", strings.Replace(scripts[1][1], "tasks=100", "tasks=3", 1))
		_, _ = run("array.sh", scripts[2][1]) // a slice with a bad recording ends with a status of its own
		for i, want := range []string{`"report":{`, `"error":"`, `"report":{`} {
			line, err := os.ReadFile(filepath.Join(folder, fmt.Sprintf("scored-%d.jsonl", i+1)))
			require.NoError(t, err)
			assert.Contains(t, string(line), want)
			assert.Equal(t, 1, strings.Count(string(line), "\n"))
		}
	})
	t.Run("GNU parallel", func(t *testing.T) {
		if out, err := exec.CommandContext(t.Context(), "parallel",
			"--version").Output(); err != nil || !strings.HasPrefix(string(out), "GNU parallel") {
			t.Skip("GNU parallel is not here")
		}
		out, _ := run("parallel.sh", scripts[0][1])
		assert.Contains(t, out, "b.wav: this is a text file, not a recording")
		for _, name := range []string{"a.wav", "it's c.wav"} {
			report, err := os.ReadFile(filepath.Join(folder, "recordings", name+".json"))
			require.NoError(t, err)
			assert.Contains(t, string(report), `"schema": "clapladder/report/1"`)
		}
		log, err := os.ReadFile(filepath.Join(folder, "scored.log"))
		require.NoError(t, err)
		assert.Equal(t, 4, strings.Count(string(log), "\n"), "a head and three jobs")
	})
}
