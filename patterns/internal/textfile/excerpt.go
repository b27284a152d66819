package textfile

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// excerptWidth is the most characters of a line that an excerpt shows.
const excerptWidth = 100

// excerpt is a line and a caret below the character at column. Tabs and letters with accents keep
// their width; what a terminal would obey is shown as a question mark; a long line is cut around
// the place.
func excerpt(line string, column int) string {
	runes := []rune(line)
	at := min(column-1, len(runes))
	prefix := ""
	if len(runes) > excerptWidth {
		from := min(max(0, at-excerptWidth/2), len(runes)-excerptWidth)
		if from > 0 {
			prefix = "…"
		}
		to := from + excerptWidth
		cut := runes[from:to]
		if to < len(runes) {
			cut = append(slices.Clone(cut), '…')
		}
		runes, at = cut, at-from
	}
	shown, caret := strings.Builder{}, strings.Builder{}
	shown.WriteString(prefix)
	caret.WriteString(strings.Repeat(" ", utf8.RuneCountInString(prefix)))
	for i, r := range runes {
		if r != '\t' {
			r = printableRune(r)
		}
		shown.WriteRune(r)
		switch {
		case i >= at:
		case r == '\t':
			caret.WriteByte('\t')
		default:
			caret.WriteString(strings.Repeat(" ", Columns(r)))
		}
	}
	return shown.String() + "\n" + caret.String() + "^"
}

// printableRune replaces what a terminal would obey, and what would make text run backwards.
func printableRune(r rune) rune {
	if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) {
		return utf8.RuneError
	}
	return r
}

// Printable is text of a file on one line, fit to be shown.
func Printable(text string) string { return strings.Map(printableRune, text) }

// Columns is how many columns of a terminal a character fills: none for combining marks, two for
// most East Asian letters and pictures. Common practice of terminals; exact tables differ.
func Columns(r rune) int {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul),
		r >= 0xFF01 && r <= 0xFF60, r >= 0x1F300 && r <= 0x1FAFF:
		return 2
	}
	return 1
}

// Short shortens what is quoted in a message.
func Short(text string) string {
	const most = 60
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	return string([]rune(text)[:most]) + "…"
}

// Number writes a number as people do: 96, 96.5.
func Number(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }
