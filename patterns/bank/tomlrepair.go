package bank

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"clapladder.example/rhythm"
)

// lookalikes are characters that word processors and web pages put in place of those that TOML
// wants.
var lookalikes = map[rune]struct {
	meant         rune
	name, written string
}{
	'“': {'"', "curly quotes", `straight quotes, "`}, '”': {'"', "curly quotes", `straight quotes, "`},
	'„': {'"', "curly quotes", `straight quotes, "`}, '‟': {'"', "curly quotes", `straight quotes, "`},
	'«': {'"', "angle quotes", `straight quotes, "`}, '»': {'"', "angle quotes", `straight quotes, "`},
	'‘': {'\'', "curly quotes", `straight quotes, "`}, '’': {'\'', "curly quotes", `straight quotes, "`},
	'‚': {'\'', "curly quotes", `straight quotes, "`}, '′': {'\'', "a prime sign", `straight quotes, "`},
	'″':      {'"', "a double prime sign", `straight quotes, "`},
	'\u00a0': {' ', "a no-break space", "an ordinary space"},
	'\u202f': {' ', "a narrow no-break space", "an ordinary space"},
	'\u200b': {' ', "a space without width", "an ordinary space, or nothing"},
	'＝':      {'=', "a wide equals sign", "="}, '：': {':', "a wide colon", "="},
}

// straighten notes lookalikes outside of strings and comments, one problem a line, and puts what
// was meant in their place, character for character, so that the rest can be read and columns stay
// right.
func straighten(s *source) {
	if utf8Free(s.text) {
		return
	}
	var repaired []byte
	var lines []int
	from := 0
	for at := 0; at < len(s.text); {
		kind, end := lex(s.text, at)
		bad := -1
		if kind == lexWord {
			bad = bytes.IndexFunc(s.text[at:end], func(r rune) bool { _, ok := lookalikes[r]; return ok })
		}
		if bad < 0 {
			at = end
			continue
		}
		bad += at
		found, _ := utf8.DecodeRune(s.text[bad:])
		s.fail(bad, lookalikes[found].name+" outside of a text", "write "+lookalikes[found].written)
		end = lineEnd(s.text, bad)
		repaired = append(repaired, s.text[from:bad]...)
		repaired = append(repaired, bytes.Map(func(r rune) rune {
			if l, ok := lookalikes[r]; ok {
				return l.meant
			}
			return r
		}, s.text[bad:end])...)
		lines = append(lines, s.lineAt(bad))
		from, at = end, end
	}
	if lines == nil {
		return
	}
	s.shown = make(map[int]string, len(lines))
	for _, line := range lines {
		s.shown[line] = s.line(line)
	}
	s.setText(append(repaired, s.text[from:]...))
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
func diagnose(s *source, start, at, next int, message string) diagnosis {
	text := s.text
	line := text[start:lineEnd(text, start)]
	if line[0] == '[' {
		return diagnoseHeader(text, start, at)
	}
	d := diagnosis{at: start}
	i := 0
	for i < len(line) && bytes.IndexByte([]byte(" \t=:"), line[i]) < 0 {
		i++
	}
	written := strings.Trim(string(line[:i]), `"'`)
	d.key, _ = meantKey(written, allKeys)
	rest := bytes.TrimLeft(line[i:], " \t")
	if len(rest) == 0 || (rest[0] != '=' && rest[0] != ':') {
		d.message = strconv.Quote(cut(string(line))) + " is not a key with a value"
		d.advice = `write for example id = "gangway", and # before a comment`
		if d.key != "" && len(rest) > 0 {
			d.advice = "write " + d.key + " = " + tomlValueFor(d.key, string(rest))
		}
		return d
	}
	valueAt := start + len(line) - len(bytes.TrimLeft(rest[1:], " \t"))
	if rest[0] == ':' {
		d.at = start + len(line) - len(rest)
		d.message = `":" after ` + written
		d.advice = "write " + written + " = " + tomlValueFor(d.key, string(text[valueAt:start+len(line)]))
		return d
	}
	if at < start+len(line)-len(rest) {
		d.message = strconv.Quote(cut(string(line[:len(line)-len(rest)]))) + " can't be a key"
		d.advice = "write one word before the ="
		return d
	}
	if valueAt >= start+len(line) || text[valueAt] == '#' {
		d.at = valueAt
		d.message = written + " has no value"
		d.advice = "write " + written + " = " + tomlValueFor(d.key, "")
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
	if numberKeys[d.key] == "" {
		d.message = "the text of " + written + " needs quotes"
	}
	d.advice = "write " + written + " = " + tomlValueFor(d.key, string(text[valueAt:start+len(line)]))
	return d
}

func diagnoseHeader(text []byte, start, at int) diagnosis {
	line := string(text[start:lineEnd(text, start)])
	inside := strings.TrimLeft(line, "[ \t")
	name := inside
	if i := strings.IndexFunc(inside, func(r rune) bool { return r != '.' && !isWord(r) }); i >= 0 {
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
		d.key, _ = meantKey(key, allKeys)
	}
	return d
}

// diagnoseText is about a value that begins with a quote.
func diagnoseText(s *source, d diagnosis, valueAt, at int, message string) diagnosis {
	_, end := lex(s.text, valueAt)
	quote := s.text[valueAt : valueAt+1]
	if bytes.HasPrefix(s.text[valueAt:], bytes.Repeat(quote, 3)) {
		quote = bytes.Repeat(quote, 3)
	}
	closed := end-valueAt >= 2*len(quote) && bytes.HasSuffix(s.text[valueAt:end], quote)
	switch {
	case !closed:
		d.at, d.message, d.advice = valueAt, "the text that begins here is not closed",
			"write "+string(quote)+" after it"
	case at < valueAt:
		d.message, d.advice = "the line can't be read: "+message, ""
	case at >= end:
		d.at, d.message, d.advice = at, "something after the text", "take it out, or write # before a comment"
	case bytes.IndexByte(s.text[valueAt:min(at+1, end)], '\\') >= 0:
		d.at, d.message = at, `a backslash begins an escape such as \", and this is none`
		d.advice = `write \\ for a backslash, or put the text in single quotes`
	default:
		d.at, d.message, d.advice = at, "the text can't be read: "+message, "take the character out"
	}
	return d
}

// diagnoseList is about a value that begins with a bracket or a brace.
func diagnoseList(s *source, d diagnosis, written string, valueAt, at, next int) diagnosis {
	opening := s.text[valueAt]
	what, closing := "list", "]"
	if opening == '{' {
		what, closing = "table", "}"
	}
	line := s.text[s.lines[s.lineAt(at)-1]:]
	line = line[:lineEnd(line, 0)]
	ends := at >= len(s.text)-1 || at >= next
	if s.lineAt(at) != s.lineAt(valueAt) && (ends || beginsExpression(line)) {
		d.at, d.message, d.advice = valueAt, "the "+what+" that begins here is not closed",
			"write "+closing+" after its last element"
		return d
	}
	if ends && s.lineAt(at) == s.lineAt(valueAt) &&
		!bytes.Contains(s.text[valueAt:min(next, len(s.text))], []byte(closing)) {
		d.at, d.message, d.advice = valueAt, "the "+what+" that begins here is not closed",
			"write "+closing+" after its last element"
		return d
	}
	d.at, d.message, d.advice = at, "the "+what+" of "+written+" can't be read here",
		"write commas between its elements and quotes around texts"
	if one := s.text[valueAt:lineEnd(s.text, valueAt)]; opening == '[' &&
		s.lineAt(at) == s.lineAt(valueAt) && d.key == "tags" {
		d.advice = "write " + written + " = " + tomlValueFor("tags", string(one))
	}
	return d
}

// tomlValueFor is what to write as the value of a key where the file has the given text instead.
func tomlValueFor(key, text string) string {
	example := map[string]string{
		"id": "gangway", "name": "Down the gangway", "meter": "4/4",
		"rhythm": "x x xx x", "role": "core", "notes": "Say it first.",
	}[key]
	text = strings.TrimSpace(text)
	text = strings.TrimSpace(strings.TrimLeft(text, "=:"))
	if i := strings.Index(text, " #"); i >= 0 {
		text = strings.TrimSpace(text[:i])
	}
	if numberKeys[key] != "" {
		number := strings.ReplaceAll(strings.Trim(text, `"'`), ",", ".")
		number = strings.TrimLeft(number, "0 ")
		if i := strings.IndexFunc(number, func(r rune) bool {
			return r != '.' &&
				(r < '0' || r > '9')
		}); i >= 0 {
			number = number[:i]
		}
		if f, err := strconv.ParseFloat(number, 64); err == nil && f > 0 && f < 1e6 {
			if key == "tier" || key == "learned_from" {
				return fmt.Sprintf("%.0f", f)
			}
			return formatNumber(f)
		}
		return numberKeys[key]
	}
	if key == "tags" {
		var tags []string
		between := func(r rune) bool { return strings.ContainsRune(`[]{},;"'`, r) }
		for tag := range strings.FieldsFuncSeq(text, between) {
			if tag = strings.TrimSpace(tag); tag != "" {
				tags = append(tags, quoteTOML(cut(tag)))
			}
		}
		if tags == nil {
			tags = []string{`"opener"`}
		}
		return "[" + strings.Join(tags, ", ") + "]"
	}
	text = strings.TrimSpace(strings.Trim(text, `"'`))
	_, badMeter := rhythm.ParseMeter(text)
	_, isRole := roleOf(text)
	if text == "" || key == "meter" && badMeter != nil || key == "role" && !isRole {
		text = example
	}
	return quoteTOML(cut(text))
}

// cut shortens what is quoted in a message.
func cut(text string) string {
	const most = 60
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	return string([]rune(text)[:most]) + "…"
}
