package bank

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/internal/textfile"
)

// seeds adds the broken and untidy files of testdata and some short ones.
func seeds(f *testing.F, extensions ...string) {
	f.Helper()
	for _, pattern := range []string{"testdata/problems/*/*", "testdata/format/*"} {
		paths, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, path := range paths {
			for _, extension := range extensions {
				if strings.HasSuffix(path, extension) {
					data, err := os.ReadFile(path)
					require.NoError(f, err)
					f.Add(data)
				}
			}
		}
	}
}

// checkError looks at what every refusal must be: a FileError whose places lie in the file and
// whose text is safe to print.
func checkError(t *testing.T, data []byte, err error) {
	t.Helper()
	fileError, ok := errors.AsType[*FileError](err)
	require.True(t, ok, "%v", err)
	require.NotEmpty(t, fileError.Problems)
	require.NotContains(t, err.Error(), "\n")
	lines := bytes.Count(data, []byte("\n")) + bytes.Count(data, []byte("\r")) + 1
	for _, p := range fileError.Problems {
		require.NotEmpty(t, p.Message)
		require.LessOrEqual(t, p.Line, lines)
		require.Equal(t, p.Line > 0, p.Column > 0)
		require.LessOrEqual(t, p.Column, len(data)+1)
		require.Equal(t, textfile.Printable(p.Message+p.Advice), p.Message+p.Advice)
		text := p.Detail("f")
		require.True(t, utf8.ValidString(text), "%q", text)
		for _, r := range text {
			require.False(t, unicode.IsControl(r) && r != '\n' && r != '\t', "%q", text)
		}
	}
}

func FuzzLoadBank(f *testing.F) {
	f.Add([]byte(small))
	f.Add([]byte(kept))
	f.Add([]byte("phrase = [{ id = \"a\", meter = \"2/4\", rhythm = \"x x\" }]"))
	seeds(f, ".toml", ".csv", ".tsv", ".json", ".yaml", ".txt")
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, name := range []string{"b.toml", "b.csv"} {
			b, err := Load(name, data)
			if err != nil {
				require.Nil(t, b)
				checkError(t, data, err)
				continue
			}
			require.NotEmpty(t, b.Entries)
			text, err := b.EncodeTOML()
			require.NoError(t, err)
			again, err := Load("", text)
			require.NoError(t, err)
			sameEntries(t, b.Entries, again.Entries, "TOML")
			sheet, err := b.EncodeCSV(';')
			require.NoError(t, err)
			again, err = Load("", sheet)
			require.NoError(t, err)
			sameEntries(t, b.Entries, again.Entries, "CSV")

			last := b.Entries[len(b.Entries)-1]
			edited, err := setTier(name, data, last.ID, 7)
			require.NoError(t, err)
			again, err = Load(name, edited)
			require.NoError(t, err)
			require.Equal(t, 7, again.Entries[len(b.Entries)-1].Tier)
			again.Entries[len(b.Entries)-1].Tier = last.Tier
			sameEntries(t, b.Entries, again.Entries, "edited")
			edited, err = setTier(name, edited, last.ID, 0)
			require.NoError(t, err)
			again, err = Load(name, edited)
			require.NoError(t, err)
			require.Zero(t, again.Entries[len(b.Entries)-1].Tier)
		}
	})
}

func FuzzLoadRepertoire(f *testing.F) {
	seeds(f, ".toml", ".csv", ".tsv")
	f.Add([]byte("piece = [{ id = \"a\", meter = \"2/4\", part = [{ rhythm = \"x x\" }] }]"))
	f.Add([]byte("id,meter,role,rhythm\na,4/4,core,x x x x\n,3/4,lead,x x x\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := LoadRepertoire("r", data)
		if err != nil {
			require.Nil(t, r)
			checkError(t, data, err)
			return
		}
		text, err := r.EncodeTOML()
		require.NoError(t, err)
		again, err := LoadRepertoire("", text)
		require.NoError(t, err)
		samePieces(t, r.Pieces, again.Pieces, "TOML")
		sheet, err := r.EncodeCSV(',')
		require.NoError(t, err)
		again, err = LoadRepertoire("", sheet)
		require.NoError(t, err)
		samePieces(t, r.Pieces, again.Pieces, "CSV")
	})
}

func FuzzFormatTOML(f *testing.F) {
	f.Add([]byte(small))
	f.Add([]byte(kept))
	f.Add([]byte("a = 1979-05-27 07:32:00\nb = [1979-05-27 07:32:00, 1.5e3]\n\"c d\" . e = { f = {}, g = [] }"))
	seeds(f, ".toml", ".golden")
	f.Fuzz(func(t *testing.T, data []byte) {
		formatted, err := FormatTOML("b.toml", data)
		if err != nil {
			checkError(t, data, err)
			return
		}
		again, err := FormatTOML("b.toml", formatted)
		require.NoError(t, err, "formatted text can be read")
		require.Equal(t, string(formatted), string(again), "formatting twice changes nothing more")

		var before, after map[string]any
		text := textfile.New("", data).Text
		require.NoError(t, toml.Unmarshal(text, &before), "another reader accepts it")
		require.NoError(t, toml.Unmarshal(formatted, &after))
		require.Equal(t, comparableValue("", before), comparableValue("", after),
			"all values but the spaces of rhythms stay")
		require.Equal(t, bytes.Count(text, []byte("#")), bytes.Count(formatted, []byte("#")), "comments stay")

		if b, err := Load("b.toml", data); err == nil {
			same, err := Load("b.toml", formatted)
			require.NoError(t, err)
			sameEntries(t, b.Entries, same.Entries, "formatted")
		}
	})
}

// comparableValue takes out of every rhythm what formatting may change and of every text the kind
// of its line ends, and makes what is not a number equal to itself.
func comparableValue(key string, v any) any {
	switch v := v.(type) {
	case map[string]any:
		for key, inner := range v {
			v[key] = comparableValue(key, inner)
		}
	case []any:
		for i, inner := range v {
			v[i] = comparableValue("", inner)
		}
	case float64:
		if math.IsNaN(v) {
			return "nan"
		}
	case string:
		v = strings.ReplaceAll(v, "\r\n", "\n")
		if key == "rhythm" && strings.Trim(v, "xspnXSPN.-| \t\r\n") == "" {
			v = strings.Trim(strings.Join(strings.Fields(strings.ReplaceAll(v, "|", " | ")), " "), "| ")
		}
		return v
	}
	return v
}
