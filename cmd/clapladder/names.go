package main

import (
	"fmt"
	"reflect"
	"strings"
	"unicode"
	"unicode/utf8"
)

// File names are bytes, and may hold anything: controls that move a terminal's cursor, marks that
// turn the direction of writing, bytes that are no text. They reach files as they are and people
// made harmless.

// longestName is how many characters of a name are shown.
const longestName = 160

// displayName is how a file is named in messages.
func displayName(path string) string {
	if path == standard {
		return standardName
	}
	return shortened(harmless(path))
}

// harmless writes what could act on a terminal as an escape: "\x1b", "\u202e".
func harmless(text string) string {
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

// firstByte begins a range of private characters that stand for single bytes. The command line's
// parser turns what is no text into question marks, so such bytes go past it in this form.
const firstByte = 0x10f700

// escapeBytes puts private characters for the bytes that are no text.
func escapeBytes(args []string) []string {
	out := make([]string, len(args))
	for i, arg := range args {
		if utf8.ValidString(arg) {
			out[i] = arg
			continue
		}
		var b strings.Builder
		for k, r := range arg {
			if r == utf8.RuneError && !strings.HasPrefix(arg[k:], string(utf8.RuneError)) {
				r = firstByte + rune(arg[k])
			}
			b.WriteRune(r)
		}
		out[i] = b.String()
	}
	return out
}

// unescapeBytes puts the bytes back into every text of a parsed command.
func unescapeBytes(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			unescapeBytes(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			unescapeBytes(v.Field(i))
		}
	case reflect.Slice:
		for i := range v.Len() {
			unescapeBytes(v.Index(i))
		}
	case reflect.String:
		if v.CanSet() {
			v.SetString(unescaped(v.String()))
		}
	}
}

func unescaped(text string) string {
	var b strings.Builder
	for _, r := range text {
		if r >= firstByte && r <= firstByte+0xff {
			b.WriteByte(byte(r - firstByte))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}
