package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
)

// documents are the pages whose commands are run.
var documents = []string{
	"README.md", "DEVELOPERS.md", filepath.Join("assess", "SCIENCE.md"),
	filepath.Join("assess", "CAUTIONS.md"), filepath.Join("cmd", "clapladder", "BATCH.md"),
}

// shown is a command of a page with the output that is shown for it.
type shown struct {
	line   int
	words  []string
	output []string // lines; "…" stands for any number of lines
}

// commandsOf finds the commands of a page: lines of indented blocks that call the program. A fenced
// block without a language that follows the block is the output of its first command.
func commandsOf(text string) []shown {
	var out []shown
	first, fenced, plain := -1, false, false
	for i, line := range strings.Split(text, "\n") {
		switch {
		case strings.HasPrefix(line, "```"):
			fenced = !fenced
			plain = fenced && line == "```"
			if !fenced {
				first = -1
			}
		case fenced:
			if plain && first >= 0 {
				out[first].output = append(out[first].output, line)
			}
		case strings.HasPrefix(line, "    "):
			words := shellWords(line)
			for _, start := range [][]string{{"go", "run", "./cmd/clapladder"}, {"clapladder"}} {
				if len(words) >= len(start) &&
					strings.Join(words[:len(start)], " ") == strings.Join(start, " ") {
					out = append(out, shown{line: i + 1, words: words[len(start):]})
					if first < 0 {
						first = len(out) - 1
					}
				}
			}
		case strings.HasPrefix(line, "#"):
			first = -1
		}
	}
	return out
}

// shellWords splits a line as a shell does, as far as pages need it: quotes, and remarks after "#".
func shellWords(line string) []string {
	var words []string
	word, quote, open := "", rune(0), false
	for _, r := range line + " " {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote != 0:
			word += string(r)
		case r == '"' || r == '\'':
			quote, open = r, true
		case r == ' ':
			if word != "" || open {
				words = append(words, word)
			}
			word, open = "", false
		case r == '#' && word == "":
			return words
		default:
			word += string(r)
		}
	}
	return words
}

func TestCommandsInDocumentsRunAsShown(t *testing.T) {
	t.Chdir(filepath.Join("..", ".."))
	folder := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(folder, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		return path
	}
	standIns := map[string]string{
		"BANK.toml":   file("BANK.toml", string(bank.StarterText())),
		"PIECES.toml": file("PIECES.toml", string(bank.StarterRepertoireText())),
		"TAPS.csv":    file("TAPS.csv", fourPlainBeats),
		"RECORDING":   filepath.Join("testdata", "boatyard-lunch.wav"),
		"FOLDER":      folder,

		"PRACTICE.wav": filepath.Join(folder, "PRACTICE.wav"),
		"CALLS.wav":    filepath.Join(folder, "CALLS.wav"),
	}
	ran := 0
	for _, document := range documents {
		text, err := os.ReadFile(document)
		if os.IsNotExist(err) {
			continue
		}
		require.NoError(t, err)
		for _, command := range commandsOf(string(text)) {
			args := []string{"--quiet"}
			for _, word := range command.words {
				if standIn, ok := standIns[word]; ok {
					word = standIn
				}
				if word == ">" { // only what comes before is the program's
					break
				}
				if word != "…" {
					args = append(args, word)
				}
			}
			got := execute(t, "", args...)
			assert.Zero(t, got.status, "%s:%d: %s", document, command.line, got.stderr)
			assertShown(t, document, command, got.stdout)
			ran++
		}
	}
	assert.Greater(t, ran, 5, "commands were found")
}

// assertShown checks that the lines shown are lines of the output, in order and, but for "…",
// without others between.
func assertShown(t *testing.T, document string, command shown, output string) {
	t.Helper()
	lines := strings.Split(output, "\n")
	at, anywhere := 0, false
	for i, want := range command.output {
		if want == "…" {
			anywhere = true
			continue
		}
		found := at
		for anywhere && found < len(lines) && lines[found] != want {
			found++
		}
		if found >= len(lines) || lines[found] != want {
			got := "nothing more"
			if at < len(lines) {
				got = lines[at]
			}
			assert.Fail(t, "a document shows what the program does not print",
				"%s, output of line %d, its line %d:\n%s\nnow: %s", document, command.line, i+1, want, got)
			return
		}
		at, anywhere = found+1, false
	}
}

// The page on the science quotes figures of the kept tables; when those are measured again it must
// follow.
func TestFiguresOfTheSciencePageAreThoseOfTheTables(t *testing.T) {
	science, err := os.ReadFile(filepath.Join("..", "..", "assess", "SCIENCE.md"))
	require.NoError(t, err)
	var tables []byte
	for _, file := range []string{
		"DEVELOPERS.md", "cmd/fitdifficulty/figures.txt", "assess/testdata/quality.txt",
		"assess/internal/fithearing/testdata/fit.txt",
	} {
		text, err := os.ReadFile(filepath.Join("..", "..", filepath.FromSlash(file)))
		if !os.IsNotExist(err) {
			require.NoError(t, err)
		}
		tables = append(tables, text...)
	}
	_, after, found := strings.Cut(string(science), "\n## How well it does\n")
	require.True(t, found)
	table, _, found := strings.Cut(after, "\n\nTake these")
	require.True(t, found)
	figures := regexp.MustCompile(`\b\d\.\d{2,}\b`).FindAllString(table, -1)
	assert.Greater(t, len(figures), 10)
	for _, figure := range figures {
		assert.Regexp(t, `(^|[^\d.])`+regexp.QuoteMeta(figure)+`([^\d]|$)`, string(tables))
	}
}

func TestShellWords(t *testing.T) {
	for line, want := range map[string][]string{
		`    clapladder show --rhythm "x .x x x" # why`: {"clapladder", "show", "--rhythm", "x .x x x"},
		`  tally row=got 'a b'  ""`:                     {"tally", "row=got", "a b", ""},
		"":                                              nil,
	} {
		assert.Equal(t, want, shellWords(line))
	}
}
