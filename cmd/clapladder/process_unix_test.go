//go:build linux || darwin

package main

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/signal"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

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

// oneLine checks a refusal: nothing on standard output, one line on standard error.
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
		for _, word := range strings.Split(string(words), "\n") {
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
