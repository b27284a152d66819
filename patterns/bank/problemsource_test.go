package bank

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheCaretStandsBelowTheCharacter(t *testing.T) {
	for _, c := range []struct {
		law, line string
		column    int
		want      string
	}{
		{"plain letters", "abc", 2, "abc\n ^"},
		{"a tab stays a tab", "\ta\tb", 4, "\ta\tb\n\t \t^"},
		{"an accented letter is one column", "éàü!", 4, "éàü!\n   ^"},
		{"a combining accent takes no column", "e\u0301x", 3, "e\u0301x\n ^"},
		{"East Asian letters take two", "拍x", 2, "拍x\n  ^"},
		{"behind the end of the line", "ab", 3, "ab\n  ^"},
		{"beyond the end of the line", "ab", 9, "ab\n  ^"},
		{"what a terminal would obey is replaced", "a\x1b[31mb", 3, "a\uFFFD[31mb\n  ^"},
		{"text that would run backwards is replaced", "a\u202eb", 3, "a\uFFFDb\n  ^"},
		{"an empty line", "", 1, "\n^"},
		{
			"a long line is cut around the place",
			strings.Repeat("a", 200) + "!" + strings.Repeat("b", 200), 201,
			"…" + strings.Repeat("a", 50) + "!" + strings.Repeat("b", 49) + "…\n" +
				strings.Repeat(" ", 51) + "^",
		},
		{
			"the end of a long line is not cut", strings.Repeat("a", 200), 201,
			"…" + strings.Repeat("a", 100) + "\n" + strings.Repeat(" ", 101) + "^",
		},
		{
			"the beginning of a long line is not cut", strings.Repeat("a", 200), 1,
			strings.Repeat("a", 100) + "…\n^",
		},
	} {
		assert.Equal(t, c.want, excerpt(c.line, c.column), c.law)
	}
}

func TestOneLineForOtherCommands(t *testing.T) {
	first := Problem{Line: 3, Column: 7, Message: "bar 1 has 3 beats", Advice: "write four"}
	for want, e := range map[string]FileError{
		"bank.toml, line 3, column 7: bar 1 has 3 beats; write four":                      {"bank.toml", []Problem{first}},
		"bank.toml, line 3, column 7: bar 1 has 3 beats; write four (1 more problem)":     {"bank.toml", []Problem{first, first}},
		"my bank.toml, line 3, column 7: bar 1 has 3 beats; write four (2 more problems)": {"my bank.toml", []Problem{first, first, first}},
		"line 3, column 7: bar 1 has 3 beats; write four (1 more problem)": {
			"",
			[]Problem{first, first},
		},
		"bank.toml: the bank has no phrase": {"bank.toml", []Problem{{Message: "the bank has no phrase"}}},
		"the bank has no phrase": {
			"",
			[]Problem{{Message: "the bank has no phrase"}},
		},
	} {
		assert.Equal(t, want, e.Error())
	}
	assert.Equal(t, "line 3, column 7: bar 1 has 3 beats; write four", where("", first)+first.sentence())
}

// The offsets are checked against the decoder of go-toml: each character of the decoded text must
// be written at its place.
func TestEveryCharacterOfATextHasItsPlace(t *testing.T) {
	for _, raw := range []string{
		`""`, `"plain"`, `"tab\tand \"quote\" and \\"`, `"\u00e9\U0001F44F\x41é"`, `''`, `'liter\al é'`,
		"\"\"\"\nlines\nand lines\"\"\"", "\"\"\"\r\nlines\r\nand\"\"\"", "'''\nlines\nand'''", "'''one'''", "\"\"\"join \\\n   \n  ed\"\"\"", `"""two quotes"""""`, `'''two quotes'''''`,
	} {
		var document map[string]string
		require.NoError(t, toml.Unmarshal([]byte("a = "+raw), &document), raw)
		offsets := textOffsets([]byte(raw))
		text := document["a"]
		require.Len(t, offsets, utf8.RuneCountInString(text)+1, raw)
		i := 0
		for _, r := range text {
			at := offsets[i]
			if raw[at] != '\\' || raw[0] == '\'' {
				written, _ := utf8.DecodeRuneInString(raw[at:])
				assert.Equal(t, r, written, "%s at %d", raw, i)
			}
			i++
		}
	}
}

func TestEveryCharacterOfACellHasItsPlace(t *testing.T) {
	for raw, want := range map[string][]int{
		"x x":        {0, 1, 2, 3},
		`"x x"`:      {1, 2, 3, 4},
		`"é""!"`:     {1, 4, 5, 6},
		"\"a\r\nb\"": {1, 3, 4, 5},
		``:           {0},
		`""`:         {1},
		`""""`:       {2, 3},
	} {
		assert.Equal(t, want, cellOffsets([]byte(raw)), raw)
	}
}

func TestSlipsOfThePen(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"tempo", "tempo", 0},
		{"tmpo", "tempo", 1},
		{"temppo", "tempo", 1},
		{"tenpo", "tempo", 1},
		{"tepmo", "tempo", 1},
		{"rythm", "rhythm", 1},
		{"rhythmn", "rhythm", 1},
		{"", "id", 2},
		{"ryhtm", "rhythm", 2},
		// published example of the restricted distance, where the unrestricted one is 2 (from
		// memory)
		{"ca", "abc", 3},
	} {
		assert.Equal(t, c.want, Slips(c.a, c.b), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, Slips(c.b, c.a), "%s %s", c.b, c.a)
	}
}

func TestAWrongKeyIsUnderstood(t *testing.T) {
	for written, want := range map[string]string{
		"id": "id", "ID": "id", "Rhythm": "rhythm", "rythm": "rhythm", "rhytm": "rhythm",
		"rythem": "rhythm", "metre": "meter", "bpm": "tempo", "title": "name", "tag": "tags",
		"teir": "tier", "Tempos": "tempo", "note": "notes",
	} {
		got, ok := meantKey(written, phraseKeys)
		assert.True(t, ok, written)
		assert.Equal(t, want, got, written)
	}
	for _, written := range []string{"", "x", "colour", "author", "pi", strings.Repeat("tempo", 100)} {
		_, ok := meantKey(written, phraseKeys)
		assert.False(t, ok, written)
	}
	_, ok := meantKey("rhythm", pieceKeys)
	assert.False(t, ok, "a piece has no rhythm of its own")
}
