package textfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
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
