package bank

import (
	"bytes"
	"slices"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxProblems bounds what is kept of a hopeless file.
const maxProblems = 1000

// source is the text of a file under check, with what was found in it. Places are byte offsets into
// text.
type source struct {
	name  string
	text  []byte // no byte-order mark; lines end in \n or \r\n
	lines []int  // where each line begins
	// lines, from 1, that read otherwise in the file; same number of characters before each place
	shown map[int]string

	problems []Problem
	remarks  []Problem
}

var byteOrderMark = []byte("\xef\xbb\xbf")

// newSource takes off a byte-order mark and the line ends of old Macintosh files.
func newSource(name string, data []byte) *source {
	text := bytes.TrimPrefix(data, byteOrderMark)
	if bytes.IndexByte(text, '\r') >= 0 && bytes.IndexByte(text, '\n') < 0 {
		text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	}
	s := &source{name: name}
	s.setText(text)
	return s
}

func (s *source) setText(text []byte) {
	s.text = text
	s.lines = append(s.lines[:0], 0)
	for i, c := range text {
		if c == '\n' {
			s.lines = append(s.lines, i+1)
		}
	}
}

// lineAt is the line of an offset, from 1.
func (s *source) lineAt(offset int) int { return sort.SearchInts(s.lines, offset+1) }

// position is the line and the column, in characters, of an offset, both from 1.
func (s *source) position(offset int) (line, column int) {
	offset = min(max(offset, 0), len(s.text))
	line = s.lineAt(offset)
	return line, utf8.RuneCount(s.text[s.lines[line-1]:offset]) + 1
}

// line is the text of a line, counted from 1, without its end.
func (s *source) line(n int) string {
	end := len(s.text)
	if n < len(s.lines) {
		end = s.lines[n] - 1
	}
	return strings.TrimSuffix(string(s.text[s.lines[n-1]:end]), "\r")
}

func (s *source) problem(offset int, message, advice string) Problem {
	line, column := s.position(offset)
	text, at := s.around(offset, line, column)
	return Problem{
		Line: line, Column: column, Message: printable(message),
		Advice: printable(advice), Excerpt: excerpt(text, at),
	}
}

// around is the line that holds an offset and the column in it, or of a very long line the stretch
// around the offset and the column in that.
func (s *source) around(offset, line, column int) (text string, at int) {
	const most = 4096 // bytes; several times what an excerpt shows
	start, end := s.lines[line-1], len(s.text)
	if line < len(s.lines) {
		end = s.lines[line] - 1
	}
	if end-start <= most {
		if text, ok := s.shown[line]; ok {
			return text, column
		}
		return strings.TrimSuffix(string(s.text[start:end]), "\r"), column
	}
	offset = min(max(offset, start), end)
	from, to := max(start, offset-most/2), min(end, offset+most/2)
	for from > start && !utf8.RuneStart(s.text[from]) {
		from--
	}
	for to < end && !utf8.RuneStart(s.text[to]) {
		to++
	}
	return string(s.text[from:to]), utf8.RuneCount(s.text[from:offset]) + 1
}

// fail notes a problem at an offset.
func (s *source) fail(offset int, message, advice string) {
	if len(s.problems) < maxProblems+1 {
		s.problems = append(s.problems, s.problem(offset, message, advice))
	}
}

// failWhole notes a problem of the whole file.
func (s *source) failWhole(message, advice string) {
	s.problems = append(s.problems, Problem{Message: message, Advice: advice})
}

func (s *source) remark(offset int, message string) {
	s.remarks = append(s.remarks, s.problem(offset, message, ""))
}

// err is nil where nothing was found.
func (s *source) err() error {
	if len(s.problems) == 0 {
		return nil
	}
	sortProblems(s.problems)
	if len(s.problems) > maxProblems {
		s.problems = append(s.problems[:maxProblems],
			Problem{Message: "there are more problems", Advice: "put these right first"})
	}
	return &FileError{Name: s.name, Problems: s.problems}
}

func sortProblems(problems []Problem) {
	slices.SortStableFunc(problems, func(a, b Problem) int {
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		return a.Column - b.Column
	})
}

// excerptWidth is the most characters of a line that an excerpt shows.
const excerptWidth = 100

// excerpt is a line and a caret below the character at column. Tabs and letters with accents keep
// their width; what a terminal would obey is shown as a question mark; a long line is cut around
// the place.
func excerpt(line string, column int) string {
	runes := []rune(line)
	at := min(column-1, len(runes))
	prefix := ""
	if len(runes) > excerptWidth {
		from := min(max(0, at-excerptWidth/2), len(runes)-excerptWidth)
		if from > 0 {
			prefix = "…"
		}
		to := from + excerptWidth
		cut := runes[from:to]
		if to < len(runes) {
			cut = append(slices.Clone(cut), '…')
		}
		runes, at = cut, at-from
	}
	shown, caret := strings.Builder{}, strings.Builder{}
	shown.WriteString(prefix)
	caret.WriteString(strings.Repeat(" ", utf8.RuneCountInString(prefix)))
	for i, r := range runes {
		if r != '\t' {
			r = printableRune(r)
		}
		shown.WriteRune(r)
		switch {
		case i >= at:
		case r == '\t':
			caret.WriteByte('\t')
		default:
			caret.WriteString(strings.Repeat(" ", cells(r)))
		}
	}
	return shown.String() + "\n" + caret.String() + "^"
}

// printableRune replaces what a terminal would obey, and what would make text run backwards.
func printableRune(r rune) rune {
	if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) {
		return utf8.RuneError
	}
	return r
}

// printable is text of a file on one line, fit to be shown.
func printable(text string) string { return strings.Map(printableRune, text) }

// cells is how many columns of a terminal a character fills: none for combining marks, two for most
// East Asian letters and pictures. Common practice of terminals; exact tables differ.
func cells(r rune) int {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul),
		r >= 0xFF01 && r <= 0xFF60, r >= 0x1F300 && r <= 0x1FAFF:
		return 2
	}
	return 1
}
