package tomltext

import (
	"bytes"

	"clapladder.example/patterns/internal/textfile"
)

// lexeme is the class of a stretch of TOML text. Reading one does not need to know what came
// before, so that text with mistakes can be read too.
type lexeme uint8

const (
	lexSpace lexeme = iota
	lexNewline
	lexComment
	lexString // with its quotes; several lines for """ and '''
	lexPunct  // one of [ ] { } , =
	lexWord   // anything else up to one of the above
)

// lex returns the class of the stretch that begins at text[at], and its end. at must be inside
// text.
func lex(text []byte, at int) (kind lexeme, end int) {
	switch c := text[at]; {
	case c == '\n':
		return lexNewline, at + 1
	case c == '\r' && at+1 < len(text) && text[at+1] == '\n':
		return lexNewline, at + 2
	case c == ' ' || c == '\t':
		end = at + 1
		for end < len(text) && (text[end] == ' ' || text[end] == '\t') {
			end++
		}
		return lexSpace, end
	case c == '#':
		return lexComment, textfile.LineEnd(text, at)
	case c == '"' || c == '\'':
		return lexString, StringEnd(text, at)
	case bytes.IndexByte([]byte("[]{},="), c) >= 0:
		return lexPunct, at + 1
	}
	end = at + 1
	for end < len(text) && bytes.IndexByte([]byte(" \t\n\"'#[]{},="), text[end]) < 0 {
		if text[end] == '\r' && end+1 < len(text) && text[end+1] == '\n' {
			break
		}
		end++
	}
	return lexWord, end
}

// StringEnd is where the string that begins at text[at] ends. One that is not closed ends before
// the line break, or at the end of the text if it is one of several lines.
func StringEnd(text []byte, at int) int {
	quote := text[at]
	escapes := quote == '"'
	triple := bytes.Repeat([]byte{quote}, 3)
	if !bytes.HasPrefix(text[at:], triple) {
		stop := textfile.LineEnd(text, at)
		for i := at + 1; i < stop; i++ {
			switch {
			case text[i] == quote:
				return i + 1
			case escapes && text[i] == '\\':
				i++
			}
		}
		return stop
	}
	for i := at + 3; i < len(text); i++ {
		switch {
		case escapes && text[i] == '\\':
			i++
		case bytes.HasPrefix(text[i:], triple):
			end := i + 3
			// up to two quotes may belong to the text
			for end < len(text) && end < i+5 && text[end] == quote {
				end++
			}
			return end
		}
	}
	return len(text)
}

// Offsets says where in a TOML string each character of its text
// stands: element i is the offset, from the start of raw, of character i, and one more element is
// the end of the text. raw includes the quotes. It must be well formed.
func Offsets(raw []byte) []int {
	switch {
	case bytes.HasPrefix(raw, []byte(`"""`)):
		return basicOffsets(raw, openingLength(raw), len(raw)-3)
	case bytes.HasPrefix(raw, []byte(`'''`)):
		return textfile.PlainOffsets(raw, openingLength(raw), len(raw)-3)
	case len(raw) >= 2 && raw[0] == '"':
		return basicOffsets(raw, 1, len(raw)-1)
	case len(raw) >= 2 && raw[0] == '\'':
		return textfile.PlainOffsets(raw, 1, len(raw)-1)
	}
	return textfile.PlainOffsets(raw, 0, len(raw))
}

// openingLength is 3 quotes and a line break directly after them, which does not belong to the
// text.
func openingLength(raw []byte) int {
	switch {
	case bytes.HasPrefix(raw[3:], []byte("\r\n")):
		return 5
	case bytes.HasPrefix(raw[3:], []byte("\n")):
		return 4
	}
	return 3
}

func basicOffsets(raw []byte, from, to int) []int {
	offsets := make([]int, 0, to-from+1)
	for i := from; i < to; {
		if raw[i] != '\\' || i+1 >= to {
			offsets = append(offsets, i)
			i += textfile.Width(raw[i:])
			continue
		}
		switch raw[i+1] {
		case 'x':
			offsets = append(offsets, i)
			i += 4
		case 'u':
			offsets = append(offsets, i)
			i += 6
		case 'U':
			offsets = append(offsets, i)
			i += 10
		case ' ', '\t', '\r', '\n': // the line goes on after the white space
			i++
			for i < to && (raw[i] == ' ' || raw[i] == '\t' || raw[i] == '\r' || raw[i] == '\n') {
				i++
			}
		default:
			offsets = append(offsets, i)
			i += 2
		}
	}
	return append(offsets, to)
}
