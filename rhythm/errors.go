package rhythm

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// NotationError says where a metre or a phrase could not be read, and what to write instead.
type NotationError struct {
	Source  string // the text as given
	Line    int    // 1-based
	Column  int    // 1-based, counted in characters
	Message string // what is wrong
	Advice  string // what to write instead
}

// Error is one line: position, what is wrong, what to write instead.
func (e *NotationError) Error() string {
	where := fmt.Sprintf("column %d", e.Column)
	if e.Line > 1 {
		where = fmt.Sprintf("line %d, column %d", e.Line, e.Column)
	}
	if e.Advice == "" {
		return where + ": " + e.Message
	}
	return where + ": " + e.Message + "; " + e.Advice
}

// Excerpt is two lines, the line of the source at fault and a caret below the place. Tabs and
// accented letters keep their width. It ends without a line break.
func (e *NotationError) Excerpt() string {
	lines := strings.Split(e.Source, "\n")
	if e.Line < 1 || e.Line > len(lines) {
		return ""
	}
	line := strings.TrimRight(lines[e.Line-1], "\r")
	var caret strings.Builder
	column := 1
	for _, r := range line {
		if column >= e.Column {
			break
		}
		switch {
		case r == '\t':
			caret.WriteByte('\t')
		case !unicode.Is(unicode.Mn, r): // a combining accent stands above the letter before it
			caret.WriteByte(' ')
		}
		column++
	}
	for ; column < e.Column; column++ {
		caret.WriteByte(' ')
	}
	return line + "\n" + caret.String() + "^"
}

func runeLength(s string) int { return utf8.RuneCountInString(s) }
