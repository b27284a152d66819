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

	"clapladder.example/cmd/clapladder/internal/fault"
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

// TestManualPagesAreCleanRoff runs the pages through groff where it is installed, which warns of
// anything it does not know.
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
	for _, part := range []string{
		".TH \"CLAPLADDER\" 1", ".SH EXIT STATUS\n", ".SH FILES\n",
		".BR clapladder\\-score (1)\n", ".SH CAUTIONS\n",
	} {
		assert.Contains(t, page, part)
	}
	score := execute(t, "", "manual", "score").stdout
	for _, part := range []string{
		"\\fB\\-\\-comfort\\fR=\\fISHARE\\fR\n",
		".SH EXAMPLES\n.EX\nclapladder score warm\\-up.wav\n", ".SH SEE ALSO\n",
	} {
		assert.Contains(t, score, part)
	}
}

func TestManualOfACommandThatDoesNotExist(t *testing.T) {
	got := execute(t, "", "manual", "scoer")
	assert.Equal(t, fault.ExitUsage, got.status)
	assert.Contains(t, got.stderr, `unknown command "scoer"; did you mean "score"?`)
}

func TestSuggestionsKnowCommandsFlagsPhrasesPiecesAndGroups(t *testing.T) {
	log := savedTerm(t)
	for _, test := range []struct {
		words []string
		want  string
	}{
		{[]string{"sc"}, "score\n"},
		{[]string{"history", "tr"}, "trend\n"},
		{[]string{"history", "forget", "--hist"}, "--history\n"},
		{[]string{"card", "--paper", ""}, "A4\nA5\n"},
		{[]string{"check", "--as", "rep"}, "repertoire\n"},
		{[]string{"score", "--comfort", ""}, ""},
		{[]string{"score", "x.wav", "--comf"}, "--comfort\n"},
		{[]string{"score", "x.wav", "--order", "row,gang"}, "row,gangway\n"},
		{[]string{"show", "gang"}, "gangway\n"},
		{[]string{"tally", "gang"}, "gangway=got\ngangway=partly\ngangway=lost\n"},
		{[]string{"pick", "--played", "moo"}, "mooring\nmooring-dance\n"},
		{[]string{"history", "trend", "--history", log, ""}, "lunch hour\nnight shift\n"},
		{[]string{"grade", "--bank", "nowhere.toml", "x"}, ""},
		{[]string{"score", ""}, "\tfiles\n"},
	} {
		got := execute(t, "", append([]string{"suggest"}, test.words...)...)
		assert.Equal(t, test.want, got.stdout, test.words)
		assert.Zero(t, got.status)
		assert.Empty(t, got.stderr)
	}
	assert.Equal(t, fault.ExitUsage, execute(t, "", "completion", "tcsh").status)
}

// TestScriptsAreReadByTheirShells lets each shell that is installed check its script.
func TestScriptsAreReadByTheirShells(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish"} {
		t.Run(shell, func(t *testing.T) {
			path, err := exec.LookPath(shell)
			if err != nil {
				t.Skip("not installed")
			}
			out, err := exec.CommandContext(t.Context(), path, "-n",
				write(t, "script", execute(t, "", "completion", shell).stdout)).CombinedOutput()
			assert.NoError(t, err, string(out))
			assert.Empty(t, string(out))
		})
	}
}

func TestBashCompletes(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash on the PATH")
	}
	script := write(t, "script", execute(t, "", "completion", "bash").stdout)
	program, err := os.Executable()
	require.NoError(t, err)
	for _, test := range []struct {
		words []string // as bash parts them
		want  string
	}{
		{[]string{"clapladder", "sc"}, "score"},
		{[]string{"clapladder", "history", "forget", "--hist"}, "--history"},
		{[]string{"clapladder", "card", "--paper", ""}, "A4 A5"},
		{[]string{"clapladder", "tally", "row", "=", "p"}, "partly"},
		{[]string{"clapladder", "tally", "row", "="}, "got partly lost"},
		{[]string{"clapladder", "card", "--paper", "=", "A"}, "A4 A5"},
		{[]string{"clapladder", "score", ""}, ""},
	} {
		line := fmt.Sprintf("source %s; clapladder() { %q \"$@\"; }; COMP_WORDS=(%s); "+
			"COMP_CWORD=%d; _clapladder; echo ${COMPREPLY[*]}",
			script, program, strings.Join(quotedWords(test.words), " "), len(test.words)-1)
		command := exec.CommandContext(t.Context(), bash, "-c", line)
		command.Env = append(os.Environ(), asProgram+"=0", "XDG_DATA_HOME="+t.TempDir())
		out, err := command.CombinedOutput()
		require.NoError(t, err, string(out))
		assert.Equal(t, test.want, strings.TrimSpace(string(out)), test.words)
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
