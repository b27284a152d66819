package completion

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/grammar"
)

// ferry is a small program with everything that a script has to write down.
var ferry = grammar.Command{
	Path: []string{"ferry"}, Help: "Crosses.",
	Flags: []grammar.Flag{{Name: "quiet", Short: "q", Help: "Say nothing. At all."}},
	Commands: []grammar.Command{
		{
			Path: []string{"ferry", "load"}, Help: "Loads [cars]: all of them.",
			Flags: []grammar.Flag{
				{
					Name: "deck", Value: "DECK",
					Values: []string{"upper", "cap'n's"},
				},
				{Name: "list", Value: "FILE"},
				{Name: "count", Value: "N"},
				{Name: "mates", Value: "MATE", Many: true, Offer: "mate"},
			},
			Arguments: []grammar.Argument{{Name: "CAR", Many: true}},
		},
		{
			Path: []string{"ferry", "log"}, Help: "The captain's log.",
			Commands: []grammar.Command{{
				Path: []string{"ferry", "log", "show"}, Help: "Shows it.",
				Arguments: []grammar.Argument{{Name: "MATE", Offer: "mate"}},
			}},
		},
	},
}

func TestWhatMayStandAtAPlace(t *testing.T) {
	look := func(kind string, flags map[string]string) []string {
		if kind == "mate" {
			return []string{"Anna " + flags["list"], "bo"}
		}
		return nil
	}
	for _, test := range []struct {
		law   string
		words []string
		want  []string
		files bool
	}{
		{"commands first", []string{""}, []string{"load", "log"}, false},
		{"nothing written is an empty word", nil, []string{"load", "log"}, false},
		{"only what goes on as begun", []string{"lo"}, []string{"load", "log"}, false},
		{"case does not matter", []string{"LOA"}, []string{"load"}, false},
		{
			"flags after a dash, the program's last",
			[]string{"load", "--"},
			[]string{"--deck", "--list", "--count", "--mates", "--quiet"},
			false,
		},
		{
			"the values of a flag that has few",
			[]string{"load", "--deck", ""},
			[]string{"upper", "cap'n's"},
			false,
		},
		{"the same after an equals sign", []string{"load", "--deck=u"}, []string{"--deck=upper"}, false},
		{"files for a flag that takes one", []string{"load", "--list", ""}, nil, true},
		{"nothing for a number", []string{"load", "--count", ""}, nil, false},
		{"a switch takes no value", []string{"-q", "lo"}, []string{"load", "log"}, false},
		{
			"what is looked up knows the flags before",
			[]string{"load", "--list", "x", "--mates", "a"},
			[]string{"Anna x"},
			false,
		},
		{"of several values the last", []string{"load", "--mates", "bo,b"}, []string{"bo,bo"}, false},
		{"files for an argument", []string{"load", "a", "b"}, nil, true},
		{"a command of a command", []string{"log", "s"}, []string{"show"}, false},
		{"an argument that is looked up", []string{"log", "show", "b"}, []string{"bo"}, false},
		{"nothing after the last argument", []string{"log", "show", "bo", ""}, nil, false},
	} {
		got := At(ferry, test.words, look)
		assert.Equal(t, test.want, got.Words, test.law)
		assert.Equal(t, test.files, got.Files, test.law)
	}
}

// TestThePowerShellScriptIsGrammatical lets the PowerShell grammar tree-sitter-powershell 0.26.4
// read a script, where Node.js finds it and web-tree-sitter 0.27.1 (NODE_PATH); compiling the
// grammar takes some 10 s.
func TestThePowerShellScriptIsGrammatical(t *testing.T) {
	const program = `
const {Parser, Language} = require('web-tree-sitter');
(async () => {
  await Parser.init();
  const parser = new Parser();
  parser.setLanguage(await Language.load(require.resolve('tree-sitter-powershell/tree-sitter-powershell.wasm')));
  const hasError = file => parser.parse(require('fs').readFileSync(file, 'utf8')).rootNode.hasError;
  console.log(hasError(process.argv[1]), hasError(process.argv[2]));
})();`
	node, err := exec.LookPath("node")
	if err != nil || exec.CommandContext(t.Context(), node, "-e",
		"require('web-tree-sitter'); "+
			"require.resolve('tree-sitter-powershell/tree-sitter-powershell.wasm')").Run() != nil {
		t.Skip("Node.js with web-tree-sitter and tree-sitter-powershell is not here")
	}
	script, broken := filepath.Join(t.TempDir(), "script.ps1"), filepath.Join(t.TempDir(), "broken.ps1")
	text := Script("powershell", "ferry")
	require.NoError(t, os.WriteFile(script, []byte(text), 0o644))
	require.NoError(t, os.WriteFile(broken, []byte(strings.Replace(text, "-lt $cursor }",
		"-lt $cursor", 1)), 0o644))
	out, err := exec.CommandContext(t.Context(), node, "-e", program, script, broken).CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Equal(t, "false true", strings.TrimSpace(string(out)))
}

func TestAnUnknownShellPanics(t *testing.T) {
	assert.Panics(t, func() { Script("tcsh", "ferry") })
	for _, shell := range Shells() {
		assert.NotEmpty(t, Script(shell, "ferry"))
	}
}
