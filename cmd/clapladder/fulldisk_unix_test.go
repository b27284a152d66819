//go:build linux || darwin

package main

import (
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

// limitFiles is a full disk: no file may grow beyond so many bytes.
func limitFiles(bytes string) {
	most, err := strconv.ParseUint(bytes, 10, 64)
	if err != nil || most == 0 {
		return
	}
	signal.Ignore(syscall.SIGXFSZ)
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: most, Max: most}); err != nil {
		panic(err)
	}
}

// onFullDisk is newProcess where files may have at most so many bytes.
func onFullDisk(t *testing.T, most int, args ...string) *process {
	p := newProcess(t, args...)
	p.Env = append(p.Env, asProgram+"="+strconv.Itoa(most))
	return p
}

func TestAFullDiskLeavesNothingHalfWritten(t *testing.T) {
	t.Parallel()
	if _, err := os.Stat("/dev/full"); err == nil {
		for _, args := range [][]string{
			{"grade"},
			{"version"},
			{"card", "--json"},
			{"export", "--csv", "-"},
			{"tally", "row=got", "--html", "-"},
			{"version", "--licences"},
		} {
			full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
			require.NoError(t, err)
			p := newProcess(t, args...)
			p.Stdout = full
			oneLineOf(t, p.run(t), fault.ExitFailed, "writing the output: ")
			full.Close()
		}
		got := newProcess(t, "tally", "row=got", "--html", "/dev/full").run(t)
		assert.Equal(t, fault.ExitFailed, got.status)
		assert.Contains(t, got.stderr, "no space left on device")
	}
	const most = 600 // bytes
	for name, test := range map[string]struct {
		text string // of a file that is there before
		args func(path string) []string
	}{
		"demo": {"", func(p string) []string { return []string{"demo", filepath.Dir(p)} }},
		"a page": {"", func(p string) []string {
			return []string{
				"tally", "row=got",
				"--html", p,
			}
		}},
		"a page again": {"old page", func(p string) []string {
			return []string{
				"tally",
				"row=got", "--html", p,
			}
		}},
		"a picture": {"", func(p string) []string { return []string{"card", "--svg", p} }},
		"a table":   {"old table", func(p string) []string { return []string{"export", "--csv", p} }},
		"a formatted bank": {messyBank, func(p string) []string {
			return []string{
				"respace",
				"--in-place", p,
			}
		}},
		"one phrase more": {messyBank, func(p string) []string {
			return []string{
				"add", "--rhythm",
				"x x x x", "--id", "a", "--to", p,
			}
		}},
		"one record more": {term(), func(p string) []string {
			return []string{
				"tally", "row=got",
				"--save", "x", "--history", p,
			}
		}},
		"one group less": {term(), func(p string) []string {
			return []string{
				"history", "forget",
				"night shift", "--history", p,
			}
		}},
		"the first record": {"", func(p string) []string {
			return []string{
				"tally", "row=got", "bell=got", "fog=got", "hurry=got", "--save", "x",
				"--history", p,
			}
		}},
		"a score for notes": {"old", func(p string) []string {
			return []string{
				"export", "row",
				"--musicxml", p,
			}
		}},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "mine")
			if test.text != "" {
				require.NoError(t, os.WriteFile(path, []byte(test.text), 0o644))
			}
			got := onFullDisk(t, most, test.args(path)...).run(t)
			assert.Equal(t, fault.ExitFailed, got.status, got.stdout+got.stderr)
			assert.Contains(t, got.stderr, "file too large")
			assert.Equal(t, 1, strings.Count(got.stderr, "\n"), got.stderr)
			var names []string
			left, err := os.ReadDir(filepath.Dir(path))
			require.NoError(t, err)
			for _, f := range left {
				if !strings.HasSuffix(f.Name(), ".lock") {
					names = append(names, f.Name())
				}
			}
			after, err := os.ReadFile(path)
			if test.text != "" {
				require.NoError(t, err)
				assert.Equal(t, test.text, string(after))
				assert.Equal(t, []string{"mine"}, names)
				return
			}
			assert.Empty(t, string(after))
			assert.Empty(t, slices.DeleteFunc(names, func(name string) bool { return name == "mine" }))
		})
	}
}

// messyBank is a bank that is longer than a full disk has room for, and grows when it is put in
// order.
var messyBank = "[[phrase]]\nid=\"a1\"\nmeter=\"4/4\"\nrhythm=\"x x x x\"\n" +
	strings.Repeat("# a long remark about the tide\n", 40)

func TestAFolderThatCannotBeWrittenTo(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	if os.Getuid() == 0 {
		folder = "/sys" // permissions don't bind the superuser, but the kernel's own folder does
		if _, err := os.Stat(folder); err != nil {
			t.Skip("nothing is read-only here")
		}
	} else {
		require.NoError(t, os.Chmod(folder, 0o500))
	}
	for _, args := range [][]string{
		{"demo", filepath.Join(folder, "demo")},
		{"demo", folder},
		{"tally", "row=got", "--html", filepath.Join(folder, "page.html")},
		{"export", "--toml", filepath.Join(folder, "bank.toml")},
		{"add", "--rhythm", "x x x x", "--id", "a", "--to", filepath.Join(folder, "bank.toml")},
		{"card", "--svg", filepath.Join(folder, "card.svg")},
		{"tally", "row=got", "--save", "x", "--history", filepath.Join(folder, "deep", "log.jsonl")},
	} {
		got := newProcess(t, args...).run(t)
		assert.Equal(t, fault.ExitFailed, got.status, args)
		assert.Equal(t, 1, strings.Count(got.stderr, "\n"), got.stderr)
		assert.Contains(t, got.stderr, folder)
	}
}
