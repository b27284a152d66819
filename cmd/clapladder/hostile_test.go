package main

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

var escapes = regexp.MustCompile(`[\x00-\x08\x0b-\x1f\x7f]`)

// TestHostileFiles gives every way into the program files that are damaged or made to hurt.
// Whatever comes, it ends soon, takes little memory, says in one line what is wrong (status 3) or
// does its work (0), and leaves nothing behind.
func TestHostileFiles(t *testing.T) {
	t.Setenv("PATH", "") // no other program is asked
	folder := t.TempDir()
	t.Setenv("TMPDIR", filepath.Join(folder, "temporary"))
	require.NoError(t, os.Mkdir(filepath.Join(folder, "temporary"), 0o700))
	for name, data := range map[string][]byte{"ok.wav": clappedAlone(t, "x x xx x")} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), data, 0o600))
	}
	count := map[string]int{}
	statuses := map[int]int{}
	var slowest time.Duration
	var largest uint64
	given := 0
	give := func(kind, name, command string, data []byte) {
		if given++; underRace && given%10 != 0 {
			return
		}
		path := filepath.Join(folder, "file")
		require.NoError(t, os.WriteFile(path, data, 0o600))
		args := strings.Fields(command)
		for i, a := range args {
			if a == "@" {
				args[i] = path
			} else if strings.HasPrefix(a, "ok.") {
				args[i] = filepath.Join(folder, a)
			}
		}
		ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
		defer cancel()
		var out, errs bytes.Buffer
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		begun := time.Now()
		status := run(ctx, append([]string{"--quiet"}, args...), strings.NewReader(""), &out, &errs,
			func(string) string { return "" })
		took := time.Since(begun)
		runtime.ReadMemStats(&after)
		count[kind]++
		statuses[status]++
		slowest, largest = max(slowest, took), max(largest, after.TotalAlloc-before.TotalAlloc)
		where := fmt.Sprintf("%s, %s: %.200q", name, command, errs.String())
		writes := strings.Contains(command, "--to") || strings.Contains(command, "--save")
		assert.NoError(t, ctx.Err(), where)
		assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(1<<30), where)
		switch status {
		case fault.ExitDone:
		case fault.ExitInput:
			assert.True(t, out.Len() == 0 || args[0] == "check", where)
			assert.Equal(t, 1, strings.Count(errs.String(), "\n"), where)
			assert.True(t, strings.HasPrefix(errs.String(), "clapladder: "), where)
		case fault.ExitUsage: // a phrase or a group that a valid file does not hold
			assert.Regexp(t, "has no (phrase|group)|has a phrase|no piece", errs.String(), where)
		default:
			assert.True(t, writes && strings.Contains(errs.String(), "not a history"), where)
		}
		assert.False(t, escapes.MatchString(errs.String()), where)
		assert.Less(t, errs.Len(), 2000, where)
		if args[0] != "respace" {
			assert.False(t, escapes.Match(out.Bytes()), where)
		}
		if kept, err := os.ReadFile(path); assert.NoError(t, err) && (!writes || status != fault.ExitDone) {
			assert.True(t, bytes.Equal(data, kept), "the file was changed: %s", where)
		}
	}
	random := rand.New(rand.NewPCG(3, 1))
	all := readers(t)
	for i, r := range all {
		other := all[(i+1)%len(all)].good[0]
		for k, good := range r.good {
			for n, data := range mutations(random, good, other) {
				if r.kind == "recording" && (n+k)%3 > 0 {
					continue // they take longest
				}
				give(r.kind, fmt.Sprintf("%s %d changed %d", r.kind, k, n),
					r.commands[(n/2+k)%len(r.commands)], data)
			}
		}
	}
	files := crafted(t)
	for i, name := range slices.Sorted(maps.Keys(files)) {
		for k, r := range all {
			if (i+k)%3 == 0 { // each file takes every third way
				give("crafted", name, r.commands[0], files[name])
			}
		}
	}
	for _, f := range []string{folder, filepath.Join(folder, "temporary")} {
		left, err := os.ReadDir(f)
		require.NoError(t, err)
		for _, l := range left {
			assert.Contains(t, []string{"file", "file.lock", "ok.wav", "temporary"}, l.Name())
		}
	}
	assert.NoFileExists(t, "/tmp/clapladder-climbed.xml")
	total := 0
	for _, n := range count {
		total += n
	}
	t.Logf("%d runs %v, status %v, slowest %v, most memory asked for in one %d MiB", total, count,
		statuses, slowest.Round(time.Millisecond), largest>>20)
	if !underRace {
		assert.Greater(t, total, 500)
	}
}

func FuzzPick(f *testing.F) {
	f.Add([]byte(`{"schema":"clapladder/report/1","group":{"ability":3.1,"ability_sd":0.7,"ability_spread":1.2,"mix":"mixed"}}`))
	f.Add([]byte(`{"schema":"clapladder/report/1","group":{"ability":-1e308,"ability_sd":0,"ability_spread":-1}}`))
	f.Add([]byte(`{"schema":"clapladder/report/2","group":[]}`))
	f.Fuzz(func(t *testing.T, report []byte) {
		var out, errs bytes.Buffer
		status := run(t.Context(), []string{"pick", "-"}, bytes.NewReader(report), &out, &errs,
			func(string) string { return "" })
		require.True(t, status == fault.ExitDone && errs.Len() == 0 || status == fault.ExitInput &&
			out.Len() == 0, "%d %s", status, errs.String())
	})
}

// FuzzTally hands what may have been heard to tally on a pipe. What is refused is said in one line
// that a terminal can show.
func FuzzTally(f *testing.F) {
	f.Add("row got\nbell=got\n\n# a remark\ngangway, partly\nfog\tlost\nrow g\n")
	f.Add("row=\x1b[31mgot\n")
	f.Add("row\u202egot = lost\n")
	f.Add("=got\n=\n;;;\n")
	f.Add(strings.Repeat("row=got ", 9000))
	f.Fuzz(func(t *testing.T, heard string) {
		var out, errs bytes.Buffer
		status := run(t.Context(), []string{"tally", "--json"}, strings.NewReader(heard), &out, &errs,
			func(string) string { return "" })
		require.Contains(t, []int{fault.ExitDone, fault.ExitInput, fault.ExitUsage}, status, errs.String())
		require.Equal(t, status == fault.ExitDone, out.Len() > 0)
		if status != fault.ExitDone {
			require.Regexp(t, `^clapladder: [^\n]+\n(Try: [^\n]+\n)?$`, errs.String())
		}
		for _, r := range errs.String() {
			require.False(t, r != '\n' && unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r),
				"%q", errs.String())
		}
	})
}
