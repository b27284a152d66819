package wording

import (
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// Width is the number of columns that text takes on a terminal: 2 for wide East Asian characters, 0
// for marks that combine with the character before them and for control characters, otherwise 1.
func Width(text string) int {
	columns := 0
	for _, r := range text {
		columns += runeColumns(r)
	}
	return columns
}

func runeColumns(r rune) int {
	switch {
	case r < 0x20 || r == 0x7f:
		return 0
	case r < 0x300:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

// Pad fills text with spaces to a number of columns; longer text stays as it is.
func Pad(text string, columns int) string {
	return text + strings.Repeat(" ", max(0, columns-Width(text)))
}

// PadLeft puts the spaces in front.
func PadLeft(text string, columns int) string {
	return strings.Repeat(" ", max(0, columns-Width(text))) + text
}

// Cut shortens text to a number of columns, with dots where something is missing.
func Cut(text string, columns int, dots string) string {
	if Width(text) <= columns {
		return text
	}
	left := columns - Width(dots)
	var b strings.Builder
	for _, r := range text {
		left -= runeColumns(r)
		if left < 0 {
			break
		}
		b.WriteRune(r)
	}
	return strings.TrimRight(b.String(), " ") + dots
}

// Wrap breaks text at spaces into lines of at most the given number of columns; a longer word keeps
// a line of its own. It gives at least one line.
func Wrap(text string, columns int) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		switch {
		case line == "":
			line = word
		case Width(line)+1+Width(word) <= columns:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	return append(lines, line)
}
