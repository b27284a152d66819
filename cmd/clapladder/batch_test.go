package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

// shelf is a folder with three recordings, of which the second is none, and other files.
func shelf(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	for i, file := range []struct {
		name string
		data []byte
	}{
		{"a.wav", clappedAlone(t, "x x xx x")},
		{"b.wav", []byte("this is no sound")},
		{"c.WAV", clappedAlone(t, "x .x x x")},
		{"notes.txt", []byte("not a recording")},
	} {
		path := filepath.Join(folder, file.name)
		require.NoError(t, os.WriteFile(path, file.data, 0o644))
		at := time.Date(2025, 3, 1+i, 13, 0, 0, 0, time.Local)
		require.NoError(t, os.Chtimes(path, at, at))
	}
	require.NoError(t, os.Mkdir(filepath.Join(folder, "deeper.wav"), 0o755))
	return folder
}

func TestSeveralRecordingsGetALineEachInTheirOrder(t *testing.T) {
	folder := shelf(t)
	want := []string{"a.wav", "b.wav", "c.WAV"}
	for _, jobs := range []string{"1", "2", "7"} {
		got := execute(t, "", "score", folder, "--jobs", jobs)
		assert.Equal(t, fault.ExitInput, got.status)
		assert.Equal(t, "clapladder: 1 of 3 recordings can't be used; the list says why\n", got.stderr)
		lines := strings.Split(strings.TrimSpace(got.stdout), "\n")
		require.Len(t, lines, 3)
		for i, line := range lines {
			assert.True(t, strings.HasPrefix(line, filepath.Join(folder, want[i])+"  "), line)
		}
		assert.Contains(t, lines[0], "No tier yet")
		assert.Contains(t, lines[1], "this is a text file, not a recording")
	}
}

func TestJSONLinesHoldWhatASingleReportHolds(t *testing.T) {
	folder := shelf(t)
	path := filepath.Join(folder, "a.wav")
	got := execute(t, "", "score", path, filepath.Join(folder, "b.wav"), "--json")
	assert.Equal(t, fault.ExitInput, got.status)
	lines := strings.Split(strings.TrimSpace(got.stdout), "\n")
	require.Len(t, lines, 2)
	var first, second map[string]any
	require.NoError(t, json.Unmarshal([]byte(lines[0]), &first))
	require.NoError(t, json.Unmarshal([]byte(lines[1]), &second))
	assert.Equal(t, path, first["file"])
	assert.NotContains(t, first, "error")
	assert.Contains(t, second["error"], "this is a text file")
	alone, err := json.Marshal(first["report"])
	require.NoError(t, err)
	assert.JSONEq(t, execute(t, "", "score", path, "--json").stdout, string(alone))
}

func TestSeveralAreSavedEachUnderItsOwnDateAndOnce(t *testing.T) {
	folder := shelf(t)
	log := filepath.Join(t.TempDir(), "log.jsonl")
	for range 2 {
		got := execute(t, "", "score", folder, "--save", "quay", "--history", log)
		assert.Equal(t, fault.ExitInput, got.status)
		records := recordsIn(t, log)
		require.Len(t, records, 2)
		assert.Equal(t, []int{1, 3}, []int{records[0].Date.Local().Day(), records[1].Date.Local().Day()})
	}
	got := execute(t, "", "score", folder, "--save", "quay", "--history", log)
	assert.Contains(t, got.stderr, "a.wav: in the history already, as \"quay\" on 1 March 2025\n")
}

func TestWhatIsAboutOneRecordingIsRefusedForSeveral(t *testing.T) {
	folder := shelf(t)
	for _, args := range [][]string{
		{"--html", "x.html"},
		{"--marks", "x.csv"},
		{"--order", "row"},
		{"--known", "quay"},
		{"--save", "quay", "--date", "2025-03-04"},
		{"--html", "x.html", "--title", "x"},
	} {
		got := execute(t, "", append([]string{"score", folder}, args...)...)
		assert.Equal(t, fault.ExitUsage, got.status, args)
		assert.Contains(t, got.stderr, "is about one recording; leave it out, or score one at a time")
	}
	assert.Equal(t, fault.ExitUsage, execute(t, "", "score", "-", folder).status)
	assert.Equal(t, fault.ExitUsage, execute(t, "", "score", folder, "--jobs", "-1").status)
	empty := execute(t, "", "score", t.TempDir())
	assert.Equal(t, fault.ExitInput, empty.status)
	assert.Contains(t, empty.stderr, "there is no recording in this folder")
}
