package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEveryCommandHasAManualPage(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "man1")
	got := execute(t, "", "manual", "--folder", folder)
	require.Zero(t, got.status, got.stderr)
	files, err := filepath.Glob(filepath.Join(folder, "*.1"))
	require.NoError(t, err)
	assert.Len(t, strings.Fields(got.stdout), len(files))
	for _, command := range []string{"", "-grade", "-score", "-history-trend"} {
		assert.Contains(t, files, filepath.Join(folder, "clapladder"+command+".1"))
	}
	one, err := os.ReadFile(filepath.Join(folder, "clapladder-history-trend.1"))
	require.NoError(t, err)
	assert.Equal(t, string(one), execute(t, "", "manual", "history", "trend").stdout)
}

// TestManualPagesAreCleanRoff runs the pages through groff where it is installed, which warns of anything it does not know.
func TestManualPagesAreCleanRoff(t *testing.T) {
	groff, err := exec.LookPath("groff")
	if err != nil {
		t.Skip("no groff on the PATH")
	}
	folder := t.TempDir()
	require.Zero(t, execute(t, "", "manual", "--folder", folder).status)
	files, err := filepath.Glob(filepath.Join(folder, "*.1"))
	require.NoError(t, err)
	for _, file := range files {
		out, err := exec.CommandContext(t.Context(), groff, "-man", "-ww", "-z", file).CombinedOutput()
		assert.NoError(t, err, filepath.Base(file))
		assert.Empty(t, string(out), filepath.Base(file))
	}
}

func TestManualNamesFlagsExitStatusesAndExamples(t *testing.T) {
	page := execute(t, "", "manual").stdout
	for _, part := range []string{".TH \"CLAPLADDER\" 1", ".SH EXIT STATUS\n", ".SH FILES\n", ".BR clapladder\\-score (1)\n", ".SH CAUTIONS\n"} {
		assert.Contains(t, page, part)
	}
	score := execute(t, "", "manual", "score").stdout
	for _, part := range []string{"\\fB\\-\\-comfort\\fR=\\fISHARE\\fR\n", ".SH EXAMPLES\n.EX\nclapladder score warm\\-up.wav\n", ".SH SEE ALSO\n"} {
		assert.Contains(t, score, part)
	}
}

func TestManualOfACommandThatDoesNotExist(t *testing.T) {
	got := execute(t, "", "manual", "scoer")
	assert.Equal(t, exitUsage, got.status)
	assert.Contains(t, got.stderr, `there is no command "scoer"; did you mean "score"?`)
}

func TestCompletionScriptsKnowEveryCommandAndFlag(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		got := execute(t, "", "completion", shell)
		require.Zero(t, got.status, got.stderr)
		for _, word := range []string{"grade", "score", "trend", "forget", "comfort", "latest", "quiet"} {
			assert.Contains(t, got.stdout, word, shell)
		}
	}
	got := execute(t, "", "completion", "tcsh")
	assert.Equal(t, exitUsage, got.status)
}

// TestScriptsAreReadByTheirShells lets each shell that is installed check its script.
func TestScriptsAreReadByTheirShells(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish"} {
		t.Run(shell, func(t *testing.T) {
			path, err := exec.LookPath(shell)
			if err != nil {
				t.Skip("not installed")
			}
			out, err := exec.CommandContext(t.Context(), path, "-n", write(t, "script", execute(t, "", "completion", shell).stdout)).CombinedOutput()
			assert.NoError(t, err, string(out))
			assert.Empty(t, string(out))
		})
	}
}

func TestPowerShellScriptKnowsValuesAndCommands(t *testing.T) {
	script := execute(t, "", "completion", "powershell").stdout
	for _, line := range []string{
		"    'card --paper' = @('A4', 'A5')\n",
		"    'score --bank' = @()\n", // files
		"    'check --as' = @('auto', 'bank', 'repertoire')\n",
		"    'history' = @('show', ",
	} {
		assert.Contains(t, script, line)
	}
	for _, pair := range []string{"{}", "()"} {
		assert.Equal(t, strings.Count(script, pair[:1]), strings.Count(script, pair[1:]), pair)
	}
	assert.Zero(t, strings.Count(script, "'")%2)
}

func TestBashCompletes(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash on the PATH")
	}
	script := write(t, "script", execute(t, "", "completion", "bash").stdout)
	for _, test := range []struct{ line, want string }{
		{"clapladder sc", "score"},
		{"clapladder history tr", "trend"},
		{"clapladder history forget --hist", "--history"},
		{"clapladder card --paper ", "A4 A5"},
		{"clapladder check --as rep", "repertoire"},
		{"clapladder score --comfort ", ""},
		{"clapladder score x.wav --comf", "--comfort"},
	} {
		words := strings.Split(test.line, " ")
		program := fmt.Sprintf("source %s; COMP_WORDS=(%s); COMP_CWORD=%d; _clapladder; echo ${COMPREPLY[*]}",
			script, strings.Join(quotedWords(words), " "), len(words)-1)
		out, err := exec.CommandContext(t.Context(), bash, "-c", program).CombinedOutput()
		require.NoError(t, err, string(out))
		assert.Equal(t, test.want, strings.TrimSpace(string(out)), test.line)
	}
}

func quotedWords(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = "'" + w + "'"
	}
	return out
}

func TestHelpIsAWordToo(t *testing.T) {
	assert.Equal(t, execute(t, "", "--help"), execute(t, "", "help"))
	assert.Equal(t, execute(t, "", "history", "trend", "--help"), execute(t, "", "help", "history", "trend"))
}
