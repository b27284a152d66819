package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/cmd/clapladder/internal/fault"
)

func demoSound(t *testing.T) []byte {
	file, err := os.ReadFile(filepath.Join("..", "..", "testdata", "boatyard-lunch.wav"))
	require.NoError(t, err)
	return file
}

func TestLiveTellsRoundsAsTheyComeAndEndsAsTheFileDoes(t *testing.T) {
	file := demoSound(t)
	want := execute(t, string(file), "score", "-", "--json")
	require.Zero(t, want.status, want.stderr)
	for name, c := range map[string]struct {
		sound []byte
		flags []string
	}{
		"WAV that says its size": {file, nil},
		"bare samples":           {file[44:], []string{"--raw", "16000"}},
	} {
		t.Run(name, func(t *testing.T) {
			got := execute(t, string(c.sound), append([]string{"score", "--live", "-", "--json"},
				c.flags...)...)
			require.Zero(t, got.status, got.stderr)
			values := json.NewDecoder(strings.NewReader(got.stdout))
			var last json.RawMessage
			most := 0
			for values.More() {
				require.NoError(t, values.Decode(&last))
				var r assess.Report
				require.NoError(t, json.Unmarshal(last, &r))
				assert.Equal(t, values.More(), r.Provisional, "all but the last are provisional")
				most = max(most, len(r.Rounds))
			}
			assert.JSONEq(t, want.stdout, string(last))
			assert.Greater(t, most, 4)
		})
	}
}

func TestLiveSaysWhatToCallNext(t *testing.T) {
	if underRace {
		t.Skip("listening live is watched by the test before")
	}
	got := execute(t, string(demoSound(t)), "score", "--live", "-")
	require.Zero(t, got.status, got.stderr)
	before, _, found := strings.Cut(got.stdout, "What to play")
	require.True(t, found, "the report follows")
	assert.Contains(t, before, " 1  Row the boat home")
	assert.Contains(t, before, "3 more answered rounds before a tier can be named")
	assert.Contains(t, before, "Call next: ")
}

// unending gives some sound and then waits for ever.
type unending struct {
	sound *bytes.Reader
	quiet func() // told when the sound is over
}

func (e *unending) Read(p []byte) (int, error) {
	if n, err := e.sound.Read(p); err == nil {
		return n, nil
	}
	e.quiet()
	select {}
}

func TestTheFirstInterruptEndsTheRecordingAndStillReports(t *testing.T) {
	ctx, interrupt := context.WithCancel(t.Context())
	var out, errs bytes.Buffer
	in := &unending{bytes.NewReader(demoSound(t)[44:]), interrupt}
	noEnv := func(string) string { return "" }
	status := run(ctx, []string{"score", "--live", "--raw", "16000", "-"}, io.Reader(in), &out, &errs, noEnv)
	assert.Equal(t, fault.ExitDone, status, errs.String())
	assert.Contains(t, out.String(), "What to play")
}

func TestLiveRefusesWhatDoesNotGoTogether(t *testing.T) {
	for _, args := range [][]string{
		{"score", "--raw", "16000", "-"},
		{"score", "--live", "a.wav", "b.wav"},
		{"score", "--live", "--taps", "taps.csv"},
	} {
		assert.Equal(t, fault.ExitUsage, execute(t, "", args...).status, args)
	}
	assert.Equal(t, fault.ExitInput, execute(t, "xx", "score", "--live", "--raw", "3", "-").status,
		"a rate that nobody records at")
}
