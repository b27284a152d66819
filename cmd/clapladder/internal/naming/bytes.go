package naming

import (
	"reflect"
	"strings"
	"unicode/utf8"
)

// firstByte begins a range of private characters that stand for single bytes. The command line's
// parser turns what is no text into question marks, so such bytes go past it in this form.
const firstByte = 0x10f700

// Escape puts private characters for the bytes that are no text.
func Escape(args []string) []string {
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

// Unescape puts the bytes back into every text of a parsed command.
func Unescape(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			Unescape(v.Elem())
		}
	case reflect.Struct:
		for _, field := range v.Fields() {
			Unescape(field)
		}
	case reflect.Slice:
		for i := range v.Len() {
			Unescape(v.Index(i))
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
