// Package naming writes names for those who read them: of files for people and their terminals, for a
// shell, for the command line's parser, and what a misspelt one may have meant.
package naming

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Program is what the program is called.
const Program = "clapladder"

// standard stands for standard input or output on the command line, standardName for standard input
// in messages.
const (
	Standard      = "-"
	StandardInput = "standard input"
)

// File names are bytes, and may hold anything: controls that move a terminal's cursor, marks that
// turn the direction of writing, bytes that are no text. They reach files as they are and people
// made harmless.

// longestName is how many characters of a name are shown.
const longestName = 160

// Display is how a file is named in messages.
func Display(path string) string {
	if path == Standard {
		return StandardInput
	}
	return shortened(Harmless(path))
}

// Harmless writes what could act on a terminal as an escape: "\x1b", "\u202e".
func Harmless(text string) string {
	var b strings.Builder
	for i, r := range text {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(text[i:], string(utf8.RuneError)):
			fmt.Fprintf(&b, `\x%02x`, text[i])
		case r == '\n' || r == '\t':
			b.WriteRune(r)
		case r < 0x100 && unicode.IsControl(r):
			fmt.Fprintf(&b, `\x%02x`, r)
		case unicode.Is(unicode.Bidi_Control, r) || r == '\u2028' || r == '\u2029':
			fmt.Fprintf(&b, `\u%04x`, r)
		case r >= firstByte && r <= firstByte+0xff:
			fmt.Fprintf(&b, `\x%02x`, r-firstByte)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// shortened keeps the beginning and the end of a long name.
func shortened(text string) string {
	runes := []rune(text)
	if len(runes) <= longestName+1 { // a shortened one stays as it is
		return text
	}
	half := longestName / 2
	return string(runes[:half]) + "…" + string(runes[len(runes)-half:])
}

// ShellWord quotes a file name, a phrase or another word for a shell where it needs it.
func ShellWord(word string) string {
	if word != "" && strings.Trim(word,
		"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./\\:+@,=%") == "" {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
