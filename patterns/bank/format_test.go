package bank

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"clapladder.example/patterns/internal/golden"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFormattingGivesCanonicalSpacing(t *testing.T) {
	paths, err := filepath.Glob("testdata/format/*.toml")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	for _, path := range paths {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		before := string(data)
		formatted, err := FormatTOML(path, data)
		require.NoError(t, err, path)
		assert.Equal(t, before, string(data), "the argument is not changed")
		golden.Compare(t, filepath.Join("format", filepath.Base(path)+".golden"), string(formatted))
		again, err := FormatTOML(path, formatted)
		require.NoError(t, err, path)
		assert.Equal(t, string(formatted), string(again), "%s: formatting twice changes nothing more", path)
	}
}

func TestTheStarterFilesAreFormatted(t *testing.T) {
	for name, text := range map[string][]byte{
		"bank.toml":       StarterText(),
		"repertoire.toml": StarterRepertoireText(),
	} {
		formatted, err := FormatTOML(name, text)
		require.NoError(t, err)
		assert.Equal(t, string(text), string(formatted))
	}
}

func TestFormattingRefusesWhatItCanNotRead(t *testing.T) {
	_, err := FormatTOML("bank.toml", []byte("[[phrase]]\nid = “row”\nid: row\n"))
	var fileError *FileError
	require.ErrorAs(t, err, &fileError)
	assert.Len(t, fileError.Problems, 2)
	for want, text := range map[string]string{
		"a key of 9 parts":             "a.b.c.d.e.f.g.h.i = 1",
		"more than 100 keys":           manyKeys(101),
		"more than 100 kinds of table": "[" + strings.ReplaceAll(manyKeys(102), " = 1\n", "]\n[") + "]",
	} {
		_, err = FormatTOML("bank.toml", []byte(text))
		require.ErrorContains(t, err, want)
	}
	_, err = FormatTOML("bank.csv", []byte("id,meter,rhythm\n"))
	require.ErrorContains(t, err, "this is CSV")
}

// Property: however the spaces of the starter bank are thrown about, formatting brings the same
// text back.
func TestFormattingUndoesUntidySpaces(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	spaces := func() string { return strings.Repeat(" ", random.IntN(3)) }
	for range 20 {
		var untidy strings.Builder
		for line := range strings.Lines(string(StarterText())) {
			line = strings.TrimSuffix(line, "\n")
			switch key, value, ok := strings.Cut(line, " = "); {
			case strings.HasPrefix(line, "#"):
				untidy.WriteString(spaces() + line + spaces())
			case strings.HasPrefix(line, "["):
				untidy.WriteString(spaces() + "[[" + spaces() + "phrase" + spaces() + "]]" + spaces())
			case ok && key == "rhythm":
				value = strings.ReplaceAll(value, " | ", spaces()+"|"+spaces())
				untidy.WriteString(spaces() + key + spaces() + "=" + spaces() +
					strings.ReplaceAll(value, " ", " "+spaces()) + spaces())
			case ok && key == "tags":
				untidy.WriteString(spaces() + key + spaces() + "=" + spaces() +
					strings.ReplaceAll(value, ", ", spaces()+","+spaces()))
			case ok:
				untidy.WriteString(spaces() + key + spaces() + "=" + spaces() + value + spaces())
			case line == "":
				untidy.WriteString(spaces() + strings.Repeat("\n", random.IntN(3)))
			}
			untidy.WriteString([]string{"\n", "\r\n"}[random.IntN(2)])
		}
		formatted, err := FormatTOML("bank.toml", []byte(untidy.String()))
		require.NoError(t, err)
		require.Equal(t, string(StarterText()), string(formatted))
	}
}
