package bank

import (
	"bytes"
	"fmt"
	"path"
	"strings"
	"unicode/utf8"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/tomltext"
)

// fileKind is a way to write a bank down.
type fileKind uint8

const (
	unreadable fileKind = iota
	tomlText
	commaSeparated
)

// open finds the kind of file. Where it is none of ours the source has a problem.
func (l Loader) open(name string, data []byte) (*textfile.Source, fileKind) {
	most := l.MaxBytes
	if most <= 0 {
		most = DefaultMaxBytes
	}
	if len(data) > most {
		s := &textfile.Source{Name: name}
		s.FailWhole(fmt.Sprintf("the file has %.1f MB, more than %.1f", float64(len(data))/1e6,
			float64(most)/1e6), l.instead("split it into several files"))
		return s, unreadable
	}
	if what, advice := notText(data); what != "" {
		s := &textfile.Source{Name: name}
		s.FailWhole("this is "+what+", not a list of phrases or pieces", advice)
		return s, unreadable
	}
	const example = `[[phrase]] and below it id = "gangway", meter = "4/4", rhythm = "x x xx x", ` +
		"each on its own line"
	s := textfile.New(name, data)
	for at := 0; at < len(s.Text); at += textfile.Width(s.Text[at:]) {
		if r, width := utf8.DecodeRune(s.Text[at:]); r == utf8.RuneError && width == 1 {
			s.Fail(at, "the text is not in UTF-8 from here on",
				"save the file as UTF-8 (in a spreadsheet: CSV UTF-8)")
			return s, unreadable
		}
	}
	kind, what := kindOf(name, s.Text)
	switch {
	case what == "" && kind == unreadable:
		s.FailWhole("this is neither TOML nor CSV", "write for example "+example)
	case what != "":
		s.FailWhole("this is "+what+", not a list of phrases or pieces",
			"write TOML, for example "+example)
	}
	return s, kind
}

// signatures are the first bytes of files that people may give by mistake.
var signatures = []struct {
	at            int
	magic         string
	what, instead string
}{
	{0, "PK\x03\x04", "a spreadsheet or another packed file", "save it as CSV UTF-8"},
	{0, "\xd0\xcf\x11\xe0", "an old spreadsheet or text document", "save it as CSV UTF-8"},
	{0, "%PDF", "a PDF document", "copy the phrases into a text file"},
	{0, "{\\rtf", "a word processor's document", "save it as plain text"},
	{0, "MThd", "a MIDI file", ""},
	{0, "RIFF", "a recording", ""},
	{0, "ID3", "a recording", ""},
	{0, "fLaC", "a recording", ""},
	{0, "OggS", "a recording", ""},
	{4, "ftyp", "a recording", ""},
	{0, "FORM", "a recording", ""},
	{0, "\xff\xfe", "text in UTF-16", "save it as UTF-8 (in a spreadsheet: CSV UTF-8)"},
	{0, "\xfe\xff", "text in UTF-16", "save it as UTF-8 (in a spreadsheet: CSV UTF-8)"},
	{0, "\x1f\x8b", "a packed file", "unpack it first"},
}

// notText says what a file is that is not text.
func notText(data []byte) (what, instead string) {
	for _, sig := range signatures {
		if len(data) > sig.at && bytes.HasPrefix(data[sig.at:], []byte(sig.magic)) {
			return sig.what, sig.instead
		}
	}
	if bytes.IndexByte(data, 0) >= 0 {
		return "not text", "give a TOML or CSV file"
	}
	return "", ""
}

// kindOf looks at the first line that says something. Where it is neither TOML nor CSV, what says
// what else it is, if that can be told.
func kindOf(name string, text []byte) (kind fileKind, what string) {
	var line []byte
	rest := text
	for at := 0; at < len(text) && len(line) == 0; at = textfile.NextLine(text, at) {
		line = bytes.TrimSpace(text[at:textfile.LineEnd(text, at)])
		rest = text[at:]
		if bytes.HasPrefix(line, []byte("#")) {
			line = nil
		}
	}
	extension := strings.ToLower(path.Ext(name))
	if len(line) == 0 { // empty, or comments only
		if extension == ".csv" || extension == ".tsv" {
			return commaSeparated, ""
		}
		return tomlText, ""
	}
	word := 0
	for word < len(line) && bytes.IndexByte([]byte(" \t=:,;[]{}"), line[word]) < 0 {
		word++
	}
	after := bytes.TrimLeft(line[word:], " \t")
	switch {
	case bytes.HasPrefix(bytes.TrimPrefix(bytes.ToLower(line), []byte(`"`)), []byte("sep=")):
		return commaSeparated, ""
	case line[0] == '{', line[0] == '[' && jsonList(rest[bytes.IndexByte(rest, '[')+1:]):
		return unreadable, "JSON"
	case line[0] == '[', bytes.HasPrefix(after, []byte("=")) && word > 0:
		return tomlText, ""
	case line[0] == '<':
		return unreadable, "XML or a web page"
	case bytes.HasPrefix(line, []byte("---")),
		bytes.HasPrefix(line, []byte("- ")),
		string(line) == "-",
		bytes.HasPrefix(after, []byte(":")) && word > 0 && (len(after) == 1 || after[1] == ' '):
		return unreadable, "YAML"
	case bytes.ContainsAny(line, ",;\t") || extension == ".csv" || extension == ".tsv":
		return commaSeparated, ""
	case extension == ".toml":
		return tomlText, ""
	}
	return unreadable, ""
}

// jsonList reports whether what stands after "[" is the inside of a list, not the name of a table.
func jsonList(rest []byte) bool {
	rest = bytes.TrimSpace(rest)
	if len(rest) == 0 {
		return true
	}
	switch rest[0] {
	case '{', '"', ']':
		return true
	case '[': // [[phrase]] is TOML, [["gangway", …]] is not
		inner := bytes.TrimSpace(rest[1:])
		if len(inner) == 0 || inner[0] != '"' {
			return len(inner) == 0 || inner[0] == '{' || inner[0] == '['
		}
		after := bytes.TrimSpace(inner[tomltext.StringEnd(inner, 0):])
		return len(after) == 0 || after[0] != ']'
	}
	return false
}
