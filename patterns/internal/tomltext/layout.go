package tomltext

import (
	"bytes"
	"strings"

	"clapladder.example/patterns/internal/textfile"
)

// Layout gives TOML its canonical spacing. The text must be TOML.
func Layout(text []byte) []byte {
	var lines []formattedLine
	for at := 0; at < len(text); {
		line, next := formatLine(text, at)
		lines = append(lines, line)
		at = next
	}
	lines = spaceLines(lines)
	alignComments(lines)
	var out bytes.Buffer
	for _, line := range lines {
		out.WriteString(line.text)
		if line.comment != "" {
			out.WriteString(strings.Repeat(" ", line.gap) + line.comment)
		}
		out.WriteByte('\n')
	}
	return out.Bytes()
}

type lineKind uint8

const (
	blankLine lineKind = iota
	commentLine
	headerLine
	keyLine
)

// formattedLine is a header, a key with its value (which may be several lines of text), a comment
// or an empty line.
type formattedLine struct {
	kind    lineKind
	text    string
	comment string // behind the text
	gap     int    // spaces before it
}

// token is a lexeme with its text.
type token struct {
	kind lexeme
	text string
}

func (t token) is(text string) bool { return t.kind == lexPunct && t.text == text }

// formatLine reads the line that begins at offset at, with all that belongs to its value, and
// returns where the next begins.
func formatLine(text []byte, at int) (line formattedLine, next int) {
	line.gap = 1
	var tokens []token
	depth := 0
scan:
	for next = at; next < len(text); {
		kind, end := lex(text, next)
		t := token{kind, string(text[next:end])}
		next = end
		switch {
		case kind == lexSpace:
			continue
		case kind == lexNewline && depth == 0:
			break scan
		case kind == lexComment && depth == 0:
			line.comment = strings.TrimRight(t.text, " \t")
			continue
		case t.is("[") || t.is("{"):
			depth++
		case t.is("]") || t.is("}"):
			depth--
		}
		tokens = append(tokens, t)
	}
	switch {
	case len(tokens) == 0 && line.comment == "":
		return formattedLine{}, next
	case len(tokens) == 0:
		return formattedLine{kind: commentLine, text: line.comment}, next
	case tokens[0].is("["):
		line.kind = headerLine
		for _, t := range tokens {
			line.text += t.text
		}
		return line, next
	}
	line.kind = keyLine
	line.text = joinTokens(spaceRhythms(tokens))
	return line, next
}

// joinTokens writes keys and values with canonical spaces. Lists over several lines keep their
// lines.
func joinTokens(tokens []token) string {
	var b strings.Builder
	key := true         // whether the next words are a key, in which dots have no spaces around them
	var within []string // the brackets and braces that are open
	lineStart := false
	for i, t := range tokens {
		if t.kind == lexNewline {
			if !lineStart {
				b.WriteByte('\n')
			}
			lineStart = true
			continue
		}
		opens, closes := t.is("[") || t.is("{"), t.is("]") || t.is("}")
		if closes && len(within) > 0 {
			within = within[:len(within)-1]
		}
		if t.is(",") && i+1 < len(tokens) && (tokens[i+1].is("]") || tokens[i+1].is("}")) {
			continue // nothing comes after it
		}
		switch {
		case lineStart:
			b.WriteString(strings.Repeat("  ", len(within)))
		case i > 0 && spaceBetween(tokens[i-1], t, key):
			b.WriteByte(' ')
		}
		lineStart = false
		if t.kind == lexComment {
			b.WriteString(strings.TrimRight(t.text, " \t"))
		} else {
			b.WriteString(t.text)
		}
		if opens {
			within = append(within, t.text)
		}
		if t.kind == lexPunct {
			inTable := len(within) > 0 && within[len(within)-1] == "{"
			key = inTable && (opens || t.text == ",")
		}
	}
	return b.String()
}

// spaceBetween reports whether a space stands between two tokens on one line.
func spaceBetween(a, b token, key bool) bool {
	switch {
	case a.is("{") && b.is("}"), a.is("["), b.is("]"), b.is(","):
		return b.kind == lexComment
	case a.kind == lexWord && b.kind == lexWord: // a date and a time, or the parts of a dotted key
		return !key
	case key && (a.kind == lexWord || a.kind == lexString) && (b.kind == lexWord || b.kind == lexString):
		return false
	}
	return true
}

// spaceRhythms puts right the notation after each key "rhythm".
func spaceRhythms(tokens []token) []token {
	for i := 2; i < len(tokens); i++ {
		if tokens[i].kind == lexString && tokens[i-1].is("=") &&
			strings.Trim(tokens[i-2].text, `"'`) == "rhythm" {
			tokens[i].text = spaceNotation(tokens[i].text)
		}
	}
	return tokens
}

// spaceNotation writes a TOML string of box notation, quotes included, with one space between beats
// and around bar lines. What is not box notation stays as it is.
func spaceNotation(quoted string) string {
	offsets := Offsets([]byte(quoted))
	inside := quoted[offsets[0]:offsets[len(offsets)-1]]
	if strings.Trim(inside, "xspnXSPN.-| \t\r\n") != "" || strings.TrimSpace(inside) == "" {
		return quoted
	}
	inside = strings.ReplaceAll(inside, "|", " | ")
	words := strings.Fields(inside)
	for i := 1; i < len(words); i++ {
		if words[i] == "|" && words[i-1] == "|" {
			return quoted // an empty bar, which is a mistake to leave visible
		}
	}
	var lines []string
	for line := range strings.Lines(inside) {
		if words := strings.Fields(line); len(words) > 0 {
			lines = append(lines, strings.Join(words, " "))
		}
	}
	text := strings.Join(lines, "\n")
	if strings.Trim(text, "|\n ") == "" {
		return quoted
	}
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(text, "|"), "|"))
	if strings.Contains(text, "\n") {
		return "\"\"\"\n" + text + `"""`
	}
	return `"` + text + `"`
}

// spaceLines puts one empty line before each header and the comment above it, and takes out
// superfluous ones.
func spaceLines(lines []formattedLine) []formattedLine {
	var out []formattedLine
	for i, line := range lines {
		previous := headerLine // at the start of the file nothing needs an empty line
		if len(out) > 0 {
			previous = out[len(out)-1].kind
		}
		switch {
		case line.kind == blankLine:
			if len(out) == 0 || previous == blankLine || previous == headerLine {
				continue
			}
		case len(out) > 0 && previous != blankLine && previous != commentLine && beginsBlock(lines[i:]):
			out = append(out, formattedLine{})
		}
		out = append(out, line)
	}
	for len(out) > 0 && out[len(out)-1].kind == blankLine {
		out = out[:len(out)-1]
	}
	return out
}

// beginsBlock reports whether lines begin with a header, or with comments directly above one.
func beginsBlock(lines []formattedLine) bool {
	for _, line := range lines {
		if line.kind != commentLine {
			return line.kind == headerLine
		}
	}
	return false
}

// alignComments lines up the comments behind the values of keys that follow each other directly.
func alignComments(lines []formattedLine) {
	width := func(text string) int {
		n := 0
		for _, r := range text {
			n += textfile.Columns(r)
		}
		return n
	}
	aligned := func(l formattedLine) bool { return l.kind == keyLine && !strings.Contains(l.text, "\n") }
	for from := 0; from < len(lines); {
		to, widest := from, 0
		for to < len(lines) && aligned(lines[to]) {
			if lines[to].comment != "" {
				widest = max(widest, width(lines[to].text))
			}
			to++
		}
		for i := from; i < to; i++ {
			lines[i].gap = widest - width(lines[i].text) + 1
		}
		from = max(to, from+1)
	}
}
