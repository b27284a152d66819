package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/version"
)

var update = flag.Bool("update", false, "rewrite the expected output in testdata")

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		becomeProgram()
	}
	version.Release = "test" // so that output is the same in every build
	os.Unsetenv("COLUMNS")
	temporary, err := os.MkdirTemp("", "clapladder-test-")
	if err != nil {
		panic(err)
	}
	os.Setenv("TMPDIR", temporary)
	status := m.Run()
	os.RemoveAll(temporary)
	os.Exit(status)
}

// outcome is what one run left behind.
type outcome struct {
	stdout, stderr string
	status         int
}

// execute runs the program in the folder of the package with an environment of its own.
func execute(t *testing.T, stdin string, args ...string) outcome {
	t.Helper()
	return executeIn(t, map[string]string{"LANG": "en_GB.UTF-8"}, stdin, args...)
}

func executeIn(t *testing.T, env map[string]string, stdin string, args ...string) outcome {
	t.Helper()
	var out, errs bytes.Buffer
	status := run(t.Context(), args, strings.NewReader(stdin), &out, &errs,
		func(key string) string { return env[key] })
	return outcome{out.String(), errs.String(), status}
}

// expectFile compares text with a file in testdata. With -update the file is written; otherwise a
// difference leaves the text beside it with .got added.
func expectFile(t *testing.T, name, text string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		return
	}
	want, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) && text == "" {
		return
	}
	require.NoError(t, err)
	if !assert.Equal(t, string(want), text, "see %s.got", path) {
		require.NoError(t, os.WriteFile(path+".got", []byte(text), 0o644))
	}
}

// write puts a file into a new folder and returns its path.
func write(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	return path
}

func TestHelpThatWasAskedForGoesToStandardOutput(t *testing.T) {
	for _, test := range []struct {
		file string
		args []string
	}{
		{"help.txt", []string{"--help"}},
		{"help.txt", nil},
		{"help-grade.txt", []string{"grade", "--help"}},
		{"help-score.txt", []string{"score", "-h"}},
	} {
		t.Run(strings.Join(test.args, " "), func(t *testing.T) {
			got := execute(t, "", test.args...)
			assert.Equal(t, fault.ExitDone, got.status)
			assert.Empty(t, got.stderr)
			expectFile(t, test.file, got.stdout)
		})
	}
}

func TestHelpIsShownHoweverWrongTheRestIs(t *testing.T) {
	got := execute(t, "", "show", "--help", "--rhythm", "q")
	assert.Equal(t, fault.ExitDone, got.status)
	assert.Contains(t, got.stdout, "Usage: clapladder show")
}

func TestEveryCommandHasExamplesInItsHelp(t *testing.T) {
	var commands cli
	parser, err := newParser(&commands, "0.7", &bytes.Buffer{}, &bytes.Buffer{})
	require.NoError(t, err)
	for _, node := range parser.Model.Leaves(true) {
		t.Run(node.Path(), func(t *testing.T) {
			got := execute(t, "", append(strings.Fields(node.Path()), "--help")...)
			assert.Equal(t, fault.ExitDone, got.status)
			assert.Contains(t, got.stdout, "\n    clapladder "+node.Path(), "an example")
			for line := range strings.Lines(got.stdout) {
				assert.LessOrEqual(t, len([]rune(strings.TrimRight(line, "\n"))), helpWidth, line)
			}
		})
	}
}

func TestWrongCommandLineIsOneLineAndAWayToHelp(t *testing.T) {
	for _, test := range []struct {
		name string
		args []string
		want string
	}{
		{
			"a misspelt command",
			[]string{"grdae"},
			"clapladder: unknown command \"grdae\"; did you mean \"grade\"?\nTry: clapladder --help\n",
		},
		{
			"a misspelt flag",
			[]string{"grade", "--jsno"},
			"clapladder: there is no flag --jsno; did you mean \"--json\"?\nTry: clapladder grade --help\n",
		},
		{
			"a flag without its value",
			[]string{"score", "--bank"},
			"clapladder: --bank: a value is missing\nTry: clapladder score --help\n",
		},
		{
			"one argument too many",
			[]string{"version", "now"},
			"clapladder: version takes no word of its own; \"now\" is not used\n" +
				"Try: clapladder version --help\n",
		},
		{
			"one file too many",
			[]string{"grade", "a", "b"},
			"clapladder: one BANK is enough here; \"b\" is not used\nTry: clapladder grade --help\n",
		},
		{
			"no command of ours",
			[]string{"nonsense"},
			"clapladder: unknown command \"nonsense\"\nTry: clapladder --help\n",
		},
		{
			"no command of the history",
			[]string{"history", "nonsense"},
			"clapladder: unknown command \"nonsense\"\nTry: clapladder history --help\n",
		},
		{
			"a misspelt phrase",
			[]string{"show", "gangwya"},
			"clapladder: the bank has no phrase \"gangwya\"; did you mean \"gangway\"?\n" +
				"Try: clapladder show --help\n",
		},
		{
			"no phrase",
			[]string{"show"},
			"clapladder: name a phrase of the bank, or give one with --rhythm\nTry: clapladder show --help\n",
		},
		{
			"two phrases",
			[]string{"show", "row", "--rhythm", "x"},
			"clapladder: give either a phrase of the bank or --rhythm, not both\n" +
				"Try: clapladder show --help\n",
		},
		{
			"a metre without a rhythm",
			[]string{"show", "row", "--meter", "3/4"},
			"clapladder: --meter belongs to --rhythm; the metre of row is in the bank\n" +
				"Try: clapladder show --help\n",
		},
		{
			"a tempo that nobody can clap",
			[]string{"show", "row", "--tempo", "900"},
			"clapladder: --tempo is 900; write a number from 20 to 400\nTry: clapladder show --help\n",
		},
		{
			"a tempo that is no number",
			[]string{"show", "row", "--tempo", "fast"},
			"clapladder: --tempo: \"fast\" is not a number\nTry: clapladder show --help\n",
		},
		{
			"no recording",
			[]string{"score"},
			"clapladder: name a recording, a folder with --latest, or a file with --taps\n" +
				"Try: clapladder score --help\n",
		},
		{
			"a share that is no share",
			[]string{"score", "x.wav", "--comfort", "7"},
			"clapladder: --comfort is 7; write a share from 0.5 to 0.95\nTry: clapladder score --help\n",
		},
		{
			"an order with a phrase that is not in the bank",
			[]string{"score", "x.wav", "--order", "row,bel"},
			"clapladder: --order: the bank has no phrase \"bel\"; did you mean \"bell\"?\n" +
				"Try: clapladder score --help\n",
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := execute(t, "", test.args...)
			assert.Equal(t, test.want, got.stderr)
			assert.Equal(t, fault.ExitUsage, got.status)
			assert.Empty(t, got.stdout)
		})
	}
}

func TestVersionNamesProgramAndPlatform(t *testing.T) {
	assert.Equal(t, execute(t, "", "version"), execute(t, "", "--version"))
	got := execute(t, "", "version")
	assert.Regexp(t, `^clapladder test \(go1\.\d+.*, \w+/\w+\)\n$`, got.stdout)
	assert.Zero(t, got.status)
}

// failingWriter is an output that is full.
type failingWriter struct{}

func (failingWriter) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

func TestOutputThatCannotBeWrittenIsAFailure(t *testing.T) {
	for _, args := range [][]string{{"version"}, {"grade"}, {"grade", "--json"}, {"--help"}} {
		var errs bytes.Buffer
		status := run(t.Context(), args, strings.NewReader(""), failingWriter{}, &errs,
			func(string) string { return "" })
		assert.Equal(t, fault.ExitFailed, status, args)
		assert.Equal(t, "clapladder: writing the output: no space left on device\n", errs.String(), args)
	}
}

func TestAnInterruptEndsTheWork(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	folder := t.TempDir()
	var out, errs bytes.Buffer
	status := run(ctx, []string{"demo", folder}, strings.NewReader(""), &out, &errs,
		func(string) string { return "" })
	assert.Equal(t, fault.ExitFailed, status)
	assert.Equal(t, "clapladder: stopped\n", errs.String())
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Empty(t, left)
}
