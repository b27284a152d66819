//go:build linux || darwin

package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

func TestNoOutputReplacesAnInput(t *testing.T) {
	t.Parallel()
	for name, test := range map[string]struct {
		text string
		args func(path, other string) []string
	}{
		"page over taps": {
			fourPlainBeats,
			func(p, o string) []string { return []string{"score", "--taps", p, "--html", o} },
		},
		"page over a bank": {lunchBank, func(p,
			o string,
		) []string {
			return []string{"tally", "ferry=got", "--bank", p, "--html", o}
		}},
		"table over its bank": {lunchBank, func(p,
			o string,
		) []string {
			return []string{"export", "--bank", p, "--csv", o}
		}},
		"picture over its bank": {lunchBank, func(p,
			o string,
		) []string {
			return []string{"card", p, "--svg", o}
		}},
		"trend over the log": {term(), func(p, o string) []string {
			return []string{"history", "trend", "lunch hour", "--history", p, "--svg", o}
		}},
		"records over taps": {
			fourPlainBeats,
			func(p, o string) []string {
				return []string{
					"score", "--taps", p, "--save", "x",
					"--history", o,
				}
			},
		},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, "mine", test.text)
			soft, hard := path+".soft", path+".hard"
			require.NoError(t, os.Symlink(path, soft))
			require.NoError(t, os.Link(path, hard))
			for _, other := range []string{path, soft, hard} {
				got := newProcess(t, test.args(path, other)...).run(t)
				assert.NotZero(t, got.status, "%s", other)
				assert.Regexp(t, "is read by this command|this is not a history", got.stderr)
				same, err := os.ReadFile(path)
				require.NoError(t, err)
				require.Equal(t, test.text, string(same))
			}
		})
	}
}

func TestTheNewestRecordingAndTheUsualLogAreInputsToo(t *testing.T) {
	folder := t.TempDir()
	recording := filepath.Join(folder, "new.wav")
	wav := clappedAlone(t, "x x xx x")
	require.NoError(t, os.WriteFile(recording, wav, 0o644))
	got := newProcess(t, "score", "--latest", folder, "--html", recording).run(t)
	assert.Equal(t, fault.ExitUsage, got.status, got.stderr)
	same, err := os.ReadFile(recording)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(wav, same), "the recording is as it was")

	p := newProcess(t, "tally", "row=got", "--save", "x", "--html",
		filepath.Join(folder, "clapladder", "history.jsonl"))
	p.Env = append(p.Env, "XDG_DATA_HOME="+folder)
	log := filepath.Join(folder, "clapladder", "history.jsonl")
	require.NoError(t, os.MkdirAll(filepath.Dir(log), 0o700))
	require.NoError(t, os.WriteFile(log, []byte(term()), 0o600))
	got = p.run(t)
	assert.Equal(t, fault.ExitUsage, got.status, got.stderr)
	kept, err := os.ReadFile(log)
	require.NoError(t, err)
	assert.True(t, term() == string(kept), "the log is as it was")
}
