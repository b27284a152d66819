package bank

import (
	"bytes"
	"fmt"
	"path"
	"strings"
	"unicode/utf8"
)

// Limits of the zero [Loader].
const (
	DefaultMaxBytes   = 4 << 20 // of a file
	DefaultMaxEntries = 10_000  // phrases of a bank, parts of a repertoire
)

// Loader reads banks and repertoires under limits, so that a wrong file can't use up memory. The
// zero Loader has the default limits. Loaders are safe for concurrent use.
type Loader struct {
	MaxBytes   int // of a file; 0 means DefaultMaxBytes
	MaxEntries int // phrases of a bank, parts of a repertoire; 0 means DefaultMaxEntries

	// Raise says how the limits are raised, such as "add --large", and ends the advice about a file
	// beyond them; may be empty.
	Raise string
}

// instead is advice about a file beyond a limit.
func (l Loader) instead(advice string) string {
	if l.Raise == "" {
		return advice
	}
	return advice + ", or " + l.Raise
}

// Bank is [Load] with the limits of l.
func (l Loader) Bank(name string, data []byte) (*Bank, error) {
	b, remarks, err := read(l, name, data, (*checker).bank, (*sheet).phraseTables, phraseKeys)
	if err != nil {
		return nil, err
	}
	b.Remarks = remarks
	return b, nil
}

// Repertoire is [LoadRepertoire] with the limits of l.
func (l Loader) Repertoire(name string, data []byte) (*Repertoire, error) {
	r, remarks, err := read(l, name, data, (*checker).repertoire, (*sheet).pieceTables, repertoireColumns)
	if err != nil {
		return nil, err
	}
	r.Remarks = remarks
	return r, nil
}

// read reads one kind of document, from tables of either way to write it down. check turns them
// into what they hold; rows turns the rows of a sheet with the given columns into tables.
func read[T any](
	l Loader, name string, data []byte,
	check func(*checker, []*table, Loader) *T, rows func(*sheet, *source) []*table, columns []string,
) (document *T, remarks []Problem, err error) {
	s, kind := l.open(name, data)
	c := &checker{source: s, cells: kind == commaSeparated}
	switch kind {
	case tomlText:
		document = check(c, flatten(readTOML(s)), l)
		checkWhole(s)
	case commaSeparated:
		if sh := readSheet(s, columns); len(s.problems) == 0 || len(sh.rows) > 0 {
			document = check(c, rows(sh, s), l)
		}
	}
	return document, s.remarks, s.err()
}

func (l Loader) entries() int {
	if l.MaxEntries > 0 {
		return l.MaxEntries
	}
	return DefaultMaxEntries
}

// fileKind is a way to write a bank down.
type fileKind uint8

const (
	unreadable fileKind = iota
	tomlText
	commaSeparated
)

// open finds the kind of file. Where it is none of ours the source has a problem.
func (l Loader) open(name string, data []byte) (*source, fileKind) {
	most := l.MaxBytes
	if most <= 0 {
		most = DefaultMaxBytes
	}
	if len(data) > most {
		s := &source{name: name}
		s.failWhole(fmt.Sprintf("the file has %.1f MB, more than %.1f", float64(len(data))/1e6,
			float64(most)/1e6), l.instead("split it into several files"))
		return s, unreadable
	}
	if what, advice := notText(data); what != "" {
		s := &source{name: name}
		s.failWhole("this is "+what+", not a list of phrases or pieces", advice)
		return s, unreadable
	}
	const example = `[[phrase]] and below it id = "gangway", meter = "4/4", rhythm = "x x xx x", ` +
		"each on its own line"
	s := newSource(name, data)
	for at := 0; at < len(s.text); at += runeWidth(s.text[at:]) {
		if r, width := utf8.DecodeRune(s.text[at:]); r == utf8.RuneError && width == 1 {
			s.fail(at, "the text is not in UTF-8 from here on",
				"save the file as UTF-8 (in a spreadsheet: CSV UTF-8)")
			return s, unreadable
		}
	}
	kind, what := kindOf(name, s.text)
	switch {
	case what == "" && kind == unreadable:
		s.failWhole("this is neither TOML nor CSV", "write for example "+example)
	case what != "":
		s.failWhole("this is "+what+", not a list of phrases or pieces", "write TOML, for example "+example)
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
	for at := 0; at < len(text) && len(line) == 0; at = nextLine(text, at) {
		line = bytes.TrimSpace(text[at:lineEnd(text, at)])
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
	case bytes.HasPrefix(line, []byte("---")), bytes.HasPrefix(line, []byte("- ")), string(line) == "-",
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
		after := bytes.TrimSpace(inner[stringEnd(inner, 0):])
		return len(after) == 0 || after[0] != ']'
	}
	return false
}
