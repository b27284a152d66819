package tomltext

import (
	"bytes"
	"strconv"
	"strings"
	"unicode/utf8"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/vocabulary"
)

// lookalikes are characters that word processors and web pages put in place of those that TOML
// wants.
var lookalikes = map[rune]struct {
	meant         rune
	name, written string
}{
	'“': {
		'"',
		"curly quotes",
		`straight quotes, "`,
	}, '”': {'"', "curly quotes", `straight quotes, "`},
	'„': {
		'"',
		"curly quotes",
		`straight quotes, "`,
	}, '‟': {'"', "curly quotes", `straight quotes, "`},
	'«': {
		'"',
		"angle quotes",
		`straight quotes, "`,
	}, '»': {'"', "angle quotes", `straight quotes, "`},
	'‘': {
		'\'',
		"curly quotes",
		`straight quotes, "`,
	}, '’': {'\'', "curly quotes", `straight quotes, "`},
	'‚': {
		'\'',
		"curly quotes",
		`straight quotes, "`,
	}, '′': {'\'', "a prime sign", `straight quotes, "`},
	'″':      {'"', "a double prime sign", `straight quotes, "`},
	'\u00a0': {' ', "a no-break space", "an ordinary space"},
	'\u202f': {' ', "a narrow no-break space", "an ordinary space"},
	'\u200b': {' ', "a space without width", "an ordinary space, or nothing"},
	'＝':      {'=', "a wide equals sign", "="}, '：': {':', "a wide colon", "="},
}

// straighten notes lookalikes outside of strings and comments, one problem a line, and puts what
// was meant in their place, character for character, so that the rest can be read and columns stay
// right.
func straighten(s *textfile.Source) {
	if utf8Free(s.Text) {
		return
	}
	var repaired []byte
	var lines []int
	from := 0
	for at := 0; at < len(s.Text); {
		kind, end := lex(s.Text, at)
		bad := -1
		if kind == lexWord {
			bad = bytes.IndexFunc(s.Text[at:end],
				func(r rune) bool { _, ok := lookalikes[r]; return ok })
		}
		if bad < 0 {
			at = end
			continue
		}
		bad += at
		found, _ := utf8.DecodeRune(s.Text[bad:])
		s.Fail(bad, lookalikes[found].name+" outside of a text", "write "+lookalikes[found].written)
		end = textfile.LineEnd(s.Text, bad)
		repaired = append(repaired, s.Text[from:bad]...)
		repaired = append(repaired, bytes.Map(func(r rune) rune {
			if l, ok := lookalikes[r]; ok {
				return l.meant
			}
			return r
		}, s.Text[bad:end])...)
		lines = append(lines, s.LineAt(bad))
		from, at = end, end
	}
	if lines == nil {
		return
	}
	s.Shown = make(map[int]string, len(lines))
	for _, line := range lines {
		s.Shown[line] = s.Line(line)
	}
	s.SetText(append(repaired, s.Text[from:]...))
}

// utf8Free reports whether all of the text is ASCII.
func utf8Free(text []byte) bool {
	for _, c := range text {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// diagnosis is what is wrong with an expression that is not TOML.
type diagnosis struct {
	at              int
	message, advice string
	key             string // the key it gives a value to, if that can be seen
	header          string // the table it begins, if that can be seen
}

// diagnose looks at an expression from start up to next in which a parser stopped at offset at with
// the given message.
func diagnose(s *textfile.Source, start, at, next int, message string) diagnosis {
	text := s.Text
	line := text[start:textfile.LineEnd(text, start)]
	if line[0] == '[' {
		return diagnoseHeader(text, start, at)
	}
	d := diagnosis{at: start}
	i := 0
	for i < len(line) && bytes.IndexByte([]byte(" \t=:"), line[i]) < 0 {
		i++
	}
	written := strings.Trim(string(line[:i]), `"'`)
	d.key, _ = vocabulary.Meant(written, vocabulary.AllKeys)
	rest := bytes.TrimLeft(line[i:], " \t")
	if len(rest) == 0 || (rest[0] != '=' && rest[0] != ':') {
		d.message = strconv.Quote(textfile.Short(string(line))) + " is not a key with a value"
		d.advice = `write for example id = "gangway", and # before a comment`
		if d.key != "" && len(rest) > 0 {
			d.advice = "write " + d.key + " = " + ValueFor(d.key, string(rest))
		}
		return d
	}
	valueAt := start + len(line) - len(bytes.TrimLeft(rest[1:], " \t"))
	if rest[0] == ':' {
		d.at = start + len(line) - len(rest)
		d.message = `":" after ` + written
		d.advice = "write " + written + " = " + ValueFor(d.key,
			string(text[valueAt:start+len(line)]))
		return d
	}
	if at < start+len(line)-len(rest) {
		key := string(line[:len(line)-len(rest)])
		d.message = strconv.Quote(textfile.Short(key)) + " can't be a key"
		d.advice = "write one word before the ="
		return d
	}
	if valueAt >= start+len(line) || text[valueAt] == '#' {
		d.at = valueAt
		d.message = written + " has no value"
		d.advice = "write " + written + " = " + ValueFor(d.key, "")
		return d
	}
	switch text[valueAt] {
	case '"', '\'':
		return diagnoseText(s, d, valueAt, at, message)
	case '[', '{':
		return diagnoseList(s, d, written, valueAt, at, next)
	}
	d.at = valueAt
	d.message = written + " has a value that is not TOML"
	if vocabulary.NumberKeys[d.key] == "" {
		d.message = "the text of " + written + " needs quotes"
	}
	d.advice = "write " + written + " = " + ValueFor(d.key, string(text[valueAt:start+len(line)]))
	return d
}

func diagnoseHeader(text []byte, start, at int) diagnosis {
	line := string(text[start:textfile.LineEnd(text, start)])
	inside := strings.TrimLeft(line, "[ \t")
	name := inside
	after := func(r rune) bool { return r != '.' && !vocabulary.IsWord(r) }
	if i := strings.IndexFunc(inside, after); i >= 0 {
		name = inside[:i]
	}
	d := diagnosis{
		at: start, header: name, message: "the header can't be read",
		advice: "write [[" + name + "]]",
	}
	if name == "" {
		d.advice = "write [[phrase]] before a phrase, [[piece]] before a piece"
	} else if i := strings.Index(line, "]]"); i >= 0 && start+i+2 <= at {
		d.at, d.message, d.advice = at, "something after the header", "begin a new line after [["+name+"]]"
		key, _, _ := strings.Cut(line[i+2:], "=")
		d.key, _ = vocabulary.Meant(key, vocabulary.AllKeys)
	}
	return d
}

// diagnoseText is about a value that begins with a quote.
func diagnoseText(s *textfile.Source, d diagnosis, valueAt, at int, message string) diagnosis {
	_, end := lex(s.Text, valueAt)
	quote := s.Text[valueAt : valueAt+1]
	if bytes.HasPrefix(s.Text[valueAt:], bytes.Repeat(quote, 3)) {
		quote = bytes.Repeat(quote, 3)
	}
	closed := end-valueAt >= 2*len(quote) && bytes.HasSuffix(s.Text[valueAt:end], quote)
	switch {
	case !closed:
		d.at, d.message, d.advice = valueAt, "the text that begins here is not closed",
			"write "+string(quote)+" after it"
	case at < valueAt:
		d.message, d.advice = "the line can't be read: "+message, ""
	case at >= end:
		d.at, d.message, d.advice = at, "something after the text", "take it out, or write # before a comment"
	case bytes.IndexByte(s.Text[valueAt:min(at+1, end)], '\\') >= 0:
		d.at, d.message = at, `a backslash begins an escape such as \", and this is none`
		d.advice = `write \\ for a backslash, or put the text in single quotes`
	default:
		d.at, d.message, d.advice = at, "the text can't be read: "+message, "take the character out"
	}
	return d
}

// diagnoseList is about a value that begins with a bracket or a brace.
func diagnoseList(
	s *textfile.Source, d diagnosis, written string, valueAt, at, next int,
) diagnosis {
	opening := s.Text[valueAt]
	what, closing := "list", "]"
	if opening == '{' {
		what, closing = "table", "}"
	}
	line := s.Text[s.StartOfLine(at):]
	line = line[:textfile.LineEnd(line, 0)]
	ends := at >= len(s.Text)-1 || at >= next
	if s.LineAt(at) != s.LineAt(valueAt) && (ends || beginsExpression(line)) {
		d.at, d.message, d.advice = valueAt, "the "+what+" that begins here is not closed",
			"write "+closing+" after its last element"
		return d
	}
	if ends && s.LineAt(at) == s.LineAt(valueAt) &&
		!bytes.Contains(s.Text[valueAt:min(next, len(s.Text))], []byte(closing)) {
		d.at, d.message, d.advice = valueAt, "the "+what+" that begins here is not closed",
			"write "+closing+" after its last element"
		return d
	}
	d.at, d.message, d.advice = at, "the "+what+" of "+written+" can't be read here",
		"write commas between its elements and quotes around texts"
	if one := s.Text[valueAt:textfile.LineEnd(s.Text, valueAt)]; opening == '[' &&
		s.LineAt(at) == s.LineAt(valueAt) && d.key == "tags" {
		d.advice = "write " + written + " = " + ValueFor("tags", string(one))
	}
	return d
}
