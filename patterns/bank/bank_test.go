package bank

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

const small = `# my bank
[[phrase]]
id = "gangway"            # unique, short
name = "Down the gangway" # words
meter = "4/4"
tempo = 88.5
rhythm = "x x xx x"
tier = 2
difficulty = 2.25
tags = ["opener", "frame drum"]
notes = """
Say it first.
Then clap."""

[[phrase]]
id = "swing"
meter = "7/8=2+2+3"
rhythm = """
x x xxx |
x x x"""
`

func TestABankHoldsWhatTheFileSays(t *testing.T) {
	b, err := Load("bank.toml", []byte(small))
	require.NoError(t, err)
	require.Len(t, b.Entries, 2)
	e := b.Entries[0]
	assert.Equal(t, "gangway", e.ID)
	assert.Equal(t, "Down the gangway", e.Name)
	assert.Equal(t, 2, e.Tier)
	assert.InDelta(t, 2.25, e.Difficulty, 0)
	assert.Equal(t, []string{"opener", "frame drum"}, e.Tags)
	assert.Equal(t, "Say it first.\nThen clap.", e.Notes)
	assert.Equal(t, 2, e.Line)
	assert.InDelta(t, 88.5, e.Phrase.Tempo(), 0)
	assert.True(t, e.Phrase.Equal(rhythm.MustParse("x x xx x", "4/4", 96)))

	e = b.Entries[1]
	assert.Equal(t, "swing", e.Name, "the id stands in for a name")
	assert.InDelta(t, rhythm.DefaultTempo, e.Phrase.Tempo(), 0)
	assert.Zero(t, e.Tier)
	assert.Empty(t, e.Tags)
	assert.Equal(t, 2, e.Phrase.Bars())
	assert.Equal(t, 15, e.Line)

	found, ok := b.Find("swing")
	assert.True(t, ok)
	assert.Equal(t, e, found)
	_, ok = b.Find("Swing")
	assert.False(t, ok)
}

func TestTheSameBankComesFromEveryWayToSaveIt(t *testing.T) {
	want, err := Load("bank.toml", []byte(small))
	require.NoError(t, err)
	sheet, err := want.EncodeCSV(',')
	require.NoError(t, err)
	semicolons, err := want.EncodeCSV(';')
	require.NoError(t, err)
	tabs, err := want.EncodeCSV('\t')
	require.NoError(t, err)
	crlf := func(text []byte) []byte { return bytes.ReplaceAll(text, []byte("\n"), []byte("\r\n")) }
	mac := func(text []byte) []byte { return bytes.ReplaceAll(text, []byte("\n"), []byte("\r")) }
	marked := func(text []byte) []byte { return append([]byte("\xef\xbb\xbf"), text...) }
	for name, data := range map[string][]byte{
		"byte-order mark":              marked([]byte(small)),
		"Windows line ends":            crlf([]byte(small)),
		"both":                         marked(crlf([]byte(small))),
		"old Macintosh line ends":      mac([]byte(small)),
		"no line end at the end":       []byte(strings.TrimSpace(small)),
		"CSV":                          sheet,
		"CSV of a Windows office":      marked(crlf(semicolons)),
		"CSV that names its separator": append([]byte("sep=;\r\n"), crlf(semicolons)...),
		"tab separated":                tabs,
		"CSV with capital headers": bytes.Replace(sheet, []byte("id,name,meter"),
			[]byte("ID,Name,Meter"), 1),
		"CSV with empty rows and columns": []byte(strings.ReplaceAll(string(tabs), "7/8", "7/8") +
			"\t\t\t\n\n"),
		"braces": []byte(`phrase = [
			{ id = "gangway", name = "Down the gangway", meter = "4/4", tempo = 88.5, rhythm = "x x xx x", tier = 2, difficulty = 2.25,
			  tags = ["opener", "frame drum"], notes = "Say it first.\nThen clap." },
			{ id = "swing", meter = '7/8=2+2+3', rhythm = 'x x xxx | x x x' },
		]`),
	} {
		got, err := Load("bank", data)
		require.NoError(t, err, name)
		sameEntries(t, want.Entries, got.Entries, name)
	}
}

// sameEntries compares all but lines.
func sameEntries(t *testing.T, want, got []Entry, message string) {
	t.Helper()
	require.Len(t, got, len(want), message)
	for i := range want {
		a, b := want[i], got[i]
		assert.True(t, a.Phrase.Equal(b.Phrase), "%s: %s: %s is not %s", message, a.ID, a.Phrase, b.Phrase)
		assert.InDelta(t, a.Phrase.Tempo(), b.Phrase.Tempo(), 0, "%s: %s", message, a.ID)
		a.Phrase, b.Phrase, a.Line, b.Line = rhythm.Phrase{}, rhythm.Phrase{}, 0, 0
		assert.Equal(t, a, b, message)
	}
}

func TestPlacesDoNotMoveWithTheWayAFileIsSaved(t *testing.T) {
	text := "[[phrase]]\nid = \"gängway\"\nmeter = \"4/4\"\nrhythm = \"\"\"\nx x x x |\nx q x x\"\"\"\n"
	for name, data := range map[string]string{
		"plain":                   text,
		"byte-order mark":         "\xef\xbb\xbf" + text,
		"Windows line ends":       strings.ReplaceAll(text, "\n", "\r\n"),
		"old Macintosh line ends": strings.ReplaceAll(text, "\n", "\r"),
		"CSV":                     "\n\nid,meter,rhythm,\n\ngängway,4/4,\"x x x x |\nx q x x\"\n",
		"CSV, Windows line ends":  strings.ReplaceAll("\n\nid,meter,rhythm,\n\ngängway,4/4,\"x x x x |\nx q x x\"\n", "\n", "\r\n"),
	} {
		_, err := Load("bank", []byte(data))
		var fileError *FileError
		require.ErrorAs(t, err, &fileError, name)
		require.Len(t, fileError.Problems, 1, name)
		assert.Equal(t, 6, fileError.Problems[0].Line, name)
		assert.Equal(t, 3, fileError.Problems[0].Column, name)
	}
}

func TestWhatIsLegalButMayNotBeMeantIsRemarkedOn(t *testing.T) {
	b, err := Load("bank.toml", []byte(`[[phrase]]
id = "one"
meter = "4/4"
rhythm = "x x x x | xxxx"
`))
	require.NoError(t, err)
	require.Len(t, b.Remarks, 1)
	r := b.Remarks[0]
	assert.Equal(t, 4, r.Line)
	assert.Equal(t, 21, r.Column)
	assert.Contains(t, r.Message, "fills the whole bar")
	assert.Equal(t, "rhythm = \"x x x x | xxxx\"\n"+strings.Repeat(" ", 20)+"^", r.Excerpt)
}

func TestFilesThatAreNoListSayWhatTheyAre(t *testing.T) {
	for want, data := range map[string]string{
		"a recording":           "RIFF\x24\x00\x00\x00WAVEfmt ",
		"a recording, not":      "\x00\x00\x00\x20ftypM4A \x00",
		"a MIDI file":           "MThd\x00\x00\x00\x06",
		"a spreadsheet":         "PK\x03\x04\x14\x00",
		"an old spreadsheet":    "\xd0\xcf\x11\xe0\xa1\xb1",
		"text in UTF-16":        "\xff\xfe[\x00[\x00p\x00",
		"a PDF document":        "%PDF-1.7",
		"not text":              "[[phrase]]\x00",
		"XML or a web page":     "\n<html>",
		"YAML":                  "phrases:\n  - id: row\n",
		"YAML, not":             "---\nid: row\n",
		"JSON":                  `{"phrase": []}`,
		"JSON, not":             "[\n]",
		"JSON, not a list":      `[["row", "4/4"]]`,
		"not in UTF-8":          "[[phrase]]\nname = \"F\xe4hre\"\n",
		"neither TOML nor CSV":  "Row the boat home",
		"neither TOML nor CSV;": "===",
	} {
		for _, name := range []string{"", "bank", "bank.toml", "bank.csv"} {
			if strings.HasPrefix(want, "neither") && strings.Contains(name, ".") {
				continue // the name decides
			}
			_, err := Load(name, []byte(data))
			require.ErrorContains(t, err, want, name)
			_, err = LoadRepertoire(name, []byte(data))
			require.ErrorContains(t, err, want, name)
			_, err = FormatTOML(name, []byte(data))
			require.ErrorContains(t, err, want, name)
		}
	}
}

func TestTheNameDecidesWhereTheContentLeavesItOpen(t *testing.T) {
	_, err := Load("words.csv", []byte("row\n"))
	require.ErrorContains(t, err, "does not name the columns")
	_, err = Load("words.toml", []byte("row\n"))
	require.ErrorContains(t, err, "is not a key with a value")
	_, err = Load("wrong.toml", []byte("id,meter,rhythm\nrow,4/4,x x x x\n"))
	require.NoError(t, err, "content wins over the name")
}

func TestLimitsHold(t *testing.T) {
	data, err := largeBank(5).EncodeTOML()
	require.NoError(t, err)
	_, err = Loader{MaxEntries: 5}.Bank("bank.toml", data)
	require.NoError(t, err)
	_, err = Loader{MaxEntries: 4}.Bank("bank.toml", data)
	require.ErrorContains(t, err, "more than 4 phrases")
	_, err = Loader{MaxBytes: len(data)}.Bank("bank.toml", data)
	require.NoError(t, err)
	_, err = Loader{MaxBytes: len(data) - 1}.Bank("bank.toml", data)
	require.ErrorContains(t, err, "MB, more than")
	_, err = Loader{MaxEntries: 2}.Repertoire("repertoire.toml", StarterRepertoireText())
	require.ErrorContains(t, err, "more than 2 parts")
}

func TestAHopelessFileGivesABoundedNumberOfProblems(t *testing.T) {
	_, err := Load("bank.toml", []byte(strings.Repeat("what is this\n", 20_000)))
	var fileError *FileError
	require.ErrorAs(t, err, &fileError)
	assert.Len(t, fileError.Problems, 1001)
	assert.Equal(t, "there are more problems", fileError.Problems[1000].Message)
}

func TestHostileFilesEndQuickly(t *testing.T) {
	long := 1 << 18
	for name, data := range map[string]string{
		"brackets":            "a = " + strings.Repeat("[", long),
		"braces":              "a = " + strings.Repeat("{a=", long/4),
		"one key, many times": "[[phrase]]\n" + strings.Repeat("id = \"a\"\n", long/9),
		"many keys":           "[[phrase]]\n" + manyKeys(20_000),
		"many keys in braces": "phrase = [{" + strings.ReplaceAll(manyKeys(20_000), "\n", ", ") + "}]",
		"quotes":              "a = " + strings.Repeat(`"`, long),
		"curly quotes":        strings.Repeat("a = “b”\n", long/12),
		"comments":            strings.Repeat("#\n", long/2),
		"dots":                "a" + strings.Repeat(".a", long/2) + " = 1",
		"headers":             strings.Repeat("[[phrase]]\n", long/11),
		"unclosed lists":      strings.Repeat("a = [\n", long/6),
		"cells":               "id,meter,rhythm" + strings.Repeat(",", long),
		"quotes in CSV":       "id,meter,rhythm\n" + strings.Repeat("\"\n", long/2),
		"rows":                "id,meter,rhythm\n" + strings.Repeat("a,b,c\n", long/6),
		"boxes":               "[[phrase]]\nid=\"a\"\nmeter=\"4/4\"\nrhythm=\"" + strings.Repeat("x ", long/2) + `"`,
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Load("bank", []byte(data))
			require.Error(t, err)
			assert.Less(t, len(err.Error()), 2000)
			_, err = LoadRepertoire("repertoire", []byte(data))
			require.Error(t, err)
			_, _ = FormatTOML("bank", []byte(data))
		})
	}
}

func manyKeys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "k%d = 1\n", i)
	}
	return strings.TrimSuffix(b.String(), "\n")
}
