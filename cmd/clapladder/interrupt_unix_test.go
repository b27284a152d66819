//go:build linux || darwin

package main

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

func TestAReaderThatHasSeenEnoughEndsTheProgramQuietly(t *testing.T) {
	for _, args := range [][]string{
		{"grade"},
		{"card", "--json"},
		{"version", "--licences"},
		{"export", "--toml", "-"},
	} {
		r, w, err := os.Pipe()
		require.NoError(t, err)
		p := newProcess(t, args...)
		p.Stdout = w
		require.NoError(t, r.Close())
		got := p.run(t)
		w.Close()
		assert.Empty(t, got.stderr, "%v", args)
		status := p.ProcessState.Sys().(syscall.WaitStatus)
		assert.True(t, status.Signaled() && status.Signal() == syscall.SIGPIPE, "%v: %v", args,
			p.ProcessState)
	}
}

func TestAnInterruptEndsWaitingForInput(t *testing.T) {
	m4a, err := os.ReadFile("../../assess/audio/testdata/claps.m4a")
	require.NoError(t, err)
	pipe := fifo(t)
	for _, test := range []struct {
		args []string
		text string // that comes before nothing more comes
	}{
		{[]string{"grade", "-"}, lunchBank},
		{[]string{"tally"}, "row=got\n"},
		{[]string{"pick", "-"}, "{"},
		{[]string{"add", "-"}, "MThd"},
		{[]string{"score", "--taps", "-"}, fourPlainBeats},
		{[]string{"score", "-"}, string(clappedAlone(t, "x x xx x")[:60_000])},
		{[]string{"score", "-"}, string(m4a)},
		{[]string{"bursts", "-"}, "RIFF"},
		{[]string{"grade", pipe}, ""},
		{[]string{"score", pipe}, ""},
		{[]string{"add", pipe}, ""},
	} {
		t.Run(strings.Join(test.args[:min(2, len(test.args))], " "), func(t *testing.T) {
			t.Parallel()
			var got outcome
			for _, wait := range []time.Duration{150 * time.Millisecond, time.Second, 5 * time.Second} {
				got = interruptWaiting(t, test.args, test.text, wait)
				if got.status >= 0 { // on a busy machine the program may not have begun to listen for interrupts
					break
				}
			}
			oneLineOf(t, got, fault.ExitFailed, "stopped\n")
		})
	}
}

// interruptWaiting starts the program, gives it text and no end of it, and interrupts it after a
// while. The status is negative where the signal itself ended it.
func interruptWaiting(t *testing.T, args []string, text string, wait time.Duration) outcome {
	t.Helper()
	r, w, err := os.Pipe()
	require.NoError(t, err)
	defer w.Close()
	p := newProcess(t, args...)
	p.Stdin = r
	require.NoError(t, p.Start())
	r.Close()
	_, err = io.WriteString(w, text)
	require.NoError(t, err)
	time.Sleep(wait)
	require.NoError(t, p.Process.Signal(os.Interrupt))
	watchdog := time.AfterFunc(20*time.Second, func() { _ = p.Process.Kill() })
	defer watchdog.Stop()
	return p.finish(t)
}

// A program that is interrupted at any moment has done all of a thing or nothing, and says which by
// its status.
func TestAnInterruptLeavesNothingHalfWritten(t *testing.T) {
	t.Parallel()
	folder := demoFolder()
	recording := filepath.Join(folder, demoRecording)
	page := execute(t, "", "score", recording, "--html", "-").stdout
	stopped := 0
	for i := range 5 {
		here := t.TempDir()
		html, log := filepath.Join(here, "page.html"), filepath.Join(here, "log.jsonl")
		p := newProcess(t, "score", recording, "--html", html, "--save", "lunch hour", "--history", log)
		if i%2 == 1 {
			p = newProcess(t, "demo", filepath.Join(here, "demo"))
		}
		require.NoError(t, p.Start())
		time.Sleep(time.Duration(10+120*i) * time.Millisecond)
		_ = p.Process.Signal(os.Interrupt)
		got := p.finish(t)
		if strings.HasSuffix(got.stderr, "clapladder: stopped\n") {
			stopped++
			assert.Equal(t, fault.ExitFailed, got.status)
		} else if got.status >= 0 { // else the signal came before the program had begun
			assert.Zero(t, got.status, got.stderr)
		}
		if data, err := os.ReadFile(html); err == nil {
			assert.Equal(t, len(page), len(data))
		}
		if shown := execute(t, "", "history", "show", "--history", log); assert.Zero(t, shown.status) {
			assert.Empty(t, shown.stderr, "no damaged line")
		}
		err := filepath.WalkDir(here, func(path string, _ os.DirEntry, err error) error {
			assert.False(t, strings.HasPrefix(filepath.Base(path), "."), "%s is left", path)
			return err
		})
		require.NoError(t, err)
	}
	t.Logf("stopped %d of 5 times", stopped)
	assert.Positive(t, stopped)
}

func TestASaveIsSafeHoweverSoonTheReaderGoes(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.jsonl")
	for i := range 10 {
		r, w, err := os.Pipe()
		require.NoError(t, err)
		p := newProcess(t, "tally", "row=got", "bell=got", "fog=partly", "hurry=lost", "--save",
			fmt.Sprint("quay ", i), "--history", log)
		p.Stdout = w
		require.NoError(t, r.Close())
		p.run(t)
		w.Close()
	}
	assert.Len(t, recordsIn(t, log), 10)
}

func TestAKillAtAnyMomentLosesNoSaveThatWasDone(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.jsonl")
	random := rand.New(rand.NewPCG(4, 2))
	done := map[string]bool{}
	for i := range 40 {
		group := fmt.Sprint("quay ", i)
		p := newProcess(t, "tally", "row=got", "bell=got", "fog=partly", "hurry=lost", "--save",
			group, "--history", log)
		require.NoError(t, p.Start())
		time.AfterFunc(time.Duration(random.Int64N(int64(300*time.Millisecond))),
			func() { _ = p.Process.Kill() })
		if got := p.finish(t); got.status == fault.ExitDone {
			done[group] = true
		}
		seen := map[string]bool{}
		for _, r := range recordsIn(t, log) {
			seen[r.Group] = true
		}
		for group := range done {
			require.True(t, seen[group], group)
		}
	}
	t.Logf("%d of 40 came to their end", len(done))
	got := newProcess(t, append([]string{"tally", "--save", "the last", "--history", log},
		byEar...)...).run(t)
	assert.Zero(t, got.status, got.stderr)
}

func TestALiveSaveIsSafeThoughTheReaderGoes(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.jsonl")
	wav, err := os.ReadFile(filepath.Join(demoFolder(), demoRecording))
	require.NoError(t, err)
	r, w, err := os.Pipe()
	require.NoError(t, err)
	p := newProcess(t, "score", "--live", "-", "--save", "quay", "--history", log)
	p.Stdin, p.Stdout = bytes.NewReader(wav), w
	require.NoError(t, r.Close())
	p.run(t)
	w.Close()
	assert.Len(t, recordsIn(t, log), 1)
}
