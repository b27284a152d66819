package rhythm

import (
	"fmt"
	"strings"
	"unicode"
)

func unknownBox(r rune) (message, advice string) {
	message = fmt.Sprintf("%q is not a box", r)
	switch {
	case r == '0' || r == '_' || r == '~' || r == 'o' || r == 'O' || r == '·' || r == '–' ||
		r == '—' || r == '…' || r == '−':
		return message, `write "." for an empty box`
	case r == '1' || r == '*' || r == '×' || r == 'X' || unicode.IsDigit(r):
		return message, `write "x" for a clap`
	case r == '/' || r == '\\' || r == '¦' || r == ',' || r == ';':
		return message, `write "|" between bars and a space between beats`
	}
	return message, "write x clap, s stamp, p pat, n snap (capital: accent), . empty"
}

// boxNames are what a box is called where the beat, a quarter, has so many.
var boxNames = map[int]string{1: "a quarter", 2: "an eighth", 4: "a sixteenth"}

// plainBar is a bar with one clap on each beat, to show in advice.
func plainBar(m Meter) string {
	return strings.TrimSpace(strings.Repeat("x ", m.Beats()))
}

func count(n int, noun string) string {
	switch {
	case n == 1:
		return "1 " + noun
	case noun == "box":
		return fmt.Sprintf("%d boxes", n)
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
