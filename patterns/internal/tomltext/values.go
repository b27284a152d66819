package tomltext

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
)

// Writer makes a text in canonical spacing. The zero Writer is ready for use.
type Writer struct{ out bytes.Buffer }

// Bytes is what was written so far; it is not to be used beside further writing.
func (w *Writer) Bytes() []byte { return w.out.Bytes() }

// Header begins a table, with an empty line above it where something stands before.
func (w *Writer) Header(name string) {
	if w.out.Len() > 0 {
		w.out.WriteByte('\n')
	}
	fmt.Fprintf(&w.out, "[[%s]]\n", name)
}

// Line writes a key and a value that is TOML already.
func (w *Writer) Line(key, value string) { fmt.Fprintf(&w.out, "%s = %s\n", key, value) }

// Text writes a key and a text, over several lines where it has them, and nothing for an empty one.
func (w *Writer) Text(key, text string) {
	switch {
	case text == "":
	case strings.Contains(text, "\n"):
		lines := strings.Split(Quote(text), `\n`)
		if strings.Contains(text, `\`) { // a backslash before an n looks the same
			w.Line(key, Quote(text))
			return
		}
		inside := strings.Join(lines, "\n")
		w.Line(key, `"""`+"\n"+inside[1:len(inside)-1]+`"""`)
	default:
		w.Line(key, Quote(text))
	}
}

// Tags writes a list of texts, and nothing for none.
func (w *Writer) Tags(tags []string) {
	if len(tags) == 0 {
		return
	}
	quoted := make([]string, len(tags))
	for i, tag := range tags {
		quoted[i] = Quote(tag)
	}
	w.Line("tags", "["+strings.Join(quoted, ", ")+"]")
}

// Quote writes text as a TOML string on one line.
func Quote(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case unicode.IsControl(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
