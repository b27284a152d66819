//go:build linux || darwin

package main

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

// endless writes one text again and again until nobody reads any more.
func endless(t *testing.T, first, again string) *os.File {
	t.Helper()
	r, w, err := os.Pipe()
	require.NoError(t, err)
	t.Cleanup(func() { r.Close() })
	go func() {
		defer w.Close()
		block := []byte(strings.Repeat(again, 1+(64<<10)/len(again)))
		_, err := io.WriteString(w, first)
		for err == nil {
			_, err = w.Write(block)
		}
	}()
	return r
}

// oneLineOf checks a refusal: nothing on standard output, one line on standard error.
func oneLineOf(t *testing.T, got outcome, status int, want string) {
	t.Helper()
	assert.Equal(t, status, got.status, got.stderr)
	assert.Empty(t, got.stdout)
	assert.Equal(t, 1, strings.Count(got.stderr, "\n"), got.stderr)
	assert.True(t, strings.HasPrefix(got.stderr, "clapladder: "+want), got.stderr)
}

func TestEndlessStandardInputIsGivenUpWithOneClearLine(t *testing.T) {
	const large = "standard input: the file is larger than 4 MiB; split it into several files, or add --large"
	for _, test := range []struct {
		args         []string
		first, again string
		want         string
	}{
		{[]string{"grade", "-"}, "", "# y\n", large},
		{[]string{"card", "-"}, "id,meter,rhythm\n", "a,4/4,x x x x\n", large},
		{[]string{"check", "-"}, "", "y", large},
		{[]string{"respace", "-"}, "", "# y\n", large},
		{[]string{"learn", "--results", "-"}, "phrase,share,group\n", "row,1,a\n", large},
		{
			[]string{"score", "--taps", "-"},
			"round,role,time_s\n", "1,call,1\n",
			"standard input: the file is larger than 8 MiB; split it by warm-ups",
		},
		{[]string{"score", "-"}, "", "\x00", "standard input: this is not a sound file of a known kind"},
		{
			[]string{"score", "-"},
			"ID3\x04\x00\x00\x7f\x7f\x7f\x7f", "\x00",
			"standard input: this MP3 file holds no complete frame",
		},
		{[]string{"score", "-"}, "fLaC\x00\x00\x00\x22\x10\x00\x10\x00\x00\x00\x00\x00\x00\x00\x0a\xc4\x42\xf0", "\x00", "standard input: this FLAC file's header has no end"},
		{[]string{"tally"}, "", "row=got\n", "standard input: there are more than 1000 calls"},
		{[]string{"tally"}, "row=got\n", "y", "standard input: line 2 is endless"},
		{[]string{"pick", "-"}, "{", " ", "standard input: the file is larger than a report can be"},
		{[]string{"add", "-"}, "MThd\x00\x00\x00\x06\x00\x01\x00\x01\x00\x60", "\x00", "standard input: "},
		{[]string{"add", "-"}, "<?xml version=\"1.0\"?><score-partwise>", "<part>", "standard input: "},
		{[]string{"add", "-"}, "PK\x03\x04", "\x00", "standard input: "},
		{[]string{"bursts", "-"}, "", "y\n", "standard input: this is a text file"},
	} {
		t.Run(strings.Join(test.args, " "), func(t *testing.T) {
			t.Parallel()
			p := newProcess(t, test.args...)
			p.Stdin = endless(t, test.first, test.again)
			oneLineOf(t, p.run(t), fault.ExitInput, test.want)
			if !underRace && runtime.GOOS == "linux" { // elsewhere the unit is another
				assert.Less(t, p.ProcessState.SysUsage().(*syscall.Rusage).Maxrss, int64(400<<10),
					"KiB of memory")
			}
		})
	}
}

func fifo(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "pipe")
	require.NoError(t, syscall.Mkfifo(path, 0o600))
	return path
}

func TestDevicesLinksAndPipesAsInput(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	link := func(name, target string) string {
		path := filepath.Join(folder, name)
		require.NoError(t, os.Symlink(target, path))
		return path
	}
	loop, dangling := link("loop", filepath.Join(folder, "loop")), link("dangling", "nowhere")
	for path, want := range map[string]string{
		loop:                   loop + ": too many levels of symbolic links",
		dangling:               dangling + ": there is no such file",
		link("folder", folder): filepath.Join(folder, "folder") + ": this is a folder",
		"/dev/null":            "/dev/null: ", "/dev/zero": "/dev/zero: ",
	} {
		for _, args := range [][]string{
			{"grade", path},
			{"score", path},
			{"score", "--taps", path},
			{"add", path},
			{"check", path},
		} {
			got := newProcess(t, args...).run(t)
			assert.Equal(t, fault.ExitInput, got.status, "%v: %s", args, got.stderr)
			if args[0] == "check" && path[:4] == "/dev" {
				continue // says on standard output what is wrong
			}
			if args[0] == "score" && len(args) == 2 && strings.HasSuffix(path, "folder") {
				continue // stands for the recordings in it
			}
			oneLineOf(t, got, fault.ExitInput, want)
		}
	}
	for _, path := range []string{"/dev/zero", "/dev/null", fifo(t)} {
		oneLineOf(t, newProcess(t, "history", "show", "--history", path).run(t), fault.ExitInput,
			path+": this is not a history")
		assert.NoFileExists(t, path+".lock")
	}
	bank := link("bank", write(t, "bank.toml", lunchBank))
	straight := execute(t, lunchBank, "grade", "-").stdout
	assert.Equal(t, straight, newProcess(t, "grade", bank).run(t).stdout, "a link to a file is the file")

	pipe := fifo(t)
	p := newProcess(t, "grade", pipe)
	require.NoError(t, p.Start())
	require.NoError(t, os.WriteFile(pipe, []byte(lunchBank), 0))
	assert.Equal(t, straight, p.finish(t).stdout, "a pipe with a name is read like standard input")
}

// A recording may have any name. The program that decodes what is not built in is never told it.
func TestNamesOfRecordingsNeverReachTheOtherProgram(t *testing.T) {
	t.Parallel()
	amr, err := os.ReadFile("../../assess/audio/testdata/claps.amr")
	require.NoError(t, err)
	folder := t.TempDir()
	told := filepath.Join(folder, "told")
	require.NoError(t, os.Mkdir(filepath.Join(folder, "bin"), 0o700))
	script := "#!/bin/sh\nfor a in \"$@\"; do echo \"$a\" >> " + told + "; done\nexit 1\n"
	require.NoError(t, os.WriteFile(filepath.Join(folder, "bin", "ffmpeg"), []byte(script), 0o700))
	for _, name := range []string{
		"-i", "-y", "concat:a|b", "http:harbour", "pipe:0", "file:x",
		"a\nb", "$(touch x)", "x;ls", "%d.amr", "data:,x", "@list",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), amr, 0o600))
		require.NoError(t, os.RemoveAll(told))
		p := newProcess(t, "score", "--", name)
		p.Dir = folder
		p.Env = append(p.Env, "PATH="+filepath.Join(folder, "bin"))
		got := p.run(t)
		assert.Equal(t, fault.ExitInput, got.status, got.stderr)
		assert.Equal(t, 1, strings.Count(got.stderr, "\n"), got.stderr)
		words, err := os.ReadFile(told)
		require.NoError(t, err, "%q was not decoded by the other program: %s", name, got.stderr)
		input := ""
		for word := range strings.SplitSeq(string(words), "\n") {
			if strings.HasPrefix(word, "file:") {
				input = word
			}
		}
		assert.Regexp(t, "^file:("+regexp.QuoteMeta(p.temporary)+"|/dev/fd/[0-9]+$)", input)
		if name != "-i" && name != "-y" { // which are options of ours
			assert.NotContains(t, string(words), name+"\n")
		}
		assert.Equal(t, 1, strings.Count(string(words), "\n-i\n"), "one input")
	}
	assert.NoFileExists(t, filepath.Join(folder, "x"))
}
