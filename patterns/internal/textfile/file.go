// Package textfile is the text of files that people edit: lines and places in it, what is wrong
// with it and how that is shown, tables of values that know where they stand, and changes that
// leave the rest as it is.
//
// Places are byte offsets into the text, lines and columns count from 1, columns in characters. A
// [Source] is not safe for concurrent use.
package textfile

import (
	"bytes"
	"cmp"
	"slices"
	"sort"
	"strings"
	"unicode/utf8"
)

// maxProblems bounds what is kept of a hopeless file.
const maxProblems = 1000

// Problem is one thing to put right in a text.
type Problem struct {
	Line    int    // from 1; 0 where it concerns the whole text
	Column  int    // from 1, in characters; 0 where it concerns the whole text
	Message string // what is wrong
	Advice  string // what to write instead; may be empty
	Excerpt string // the line at fault, a line break and a caret below the place; may be empty
}

// Source is the text of a file under check, with what was found in it. Places are byte offsets into
// text.
type Source struct {
	Name   string // of the file; may be empty
	Text   []byte // no byte-order mark; lines end in \n or \r\n
	Starts []int  // where each line begins
	// Shown are lines, from 1, that read otherwise in the file; same number of characters before
	// each place.
	Shown map[int]string

	Remarks []Problem // what is legal but may not be meant, in the order in which it was found
	found   []Problem
}

// ByteOrderMark is what some editors put before text in UTF-8.
var ByteOrderMark = []byte("\xef\xbb\xbf")

// New takes off a byte-order mark and the line ends of old Macintosh files.
func New(name string, data []byte) *Source {
	text := bytes.TrimPrefix(data, ByteOrderMark)
	if bytes.IndexByte(text, '\r') >= 0 && bytes.IndexByte(text, '\n') < 0 {
		text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	}
	s := &Source{Name: name}
	s.SetText(text)
	return s
}

// SetText puts other text in place of what was read.
func (s *Source) SetText(text []byte) {
	s.Text = text
	s.Starts = append(s.Starts[:0], 0)
	for i, c := range text {
		if c == '\n' {
			s.Starts = append(s.Starts, i+1)
		}
	}
}

// LineAt is the line of an offset, from 1.
func (s *Source) LineAt(offset int) int { return sort.SearchInts(s.Starts, offset+1) }

// StartOfLine is where the line of an offset begins.
func (s *Source) StartOfLine(offset int) int { return s.Starts[s.LineAt(offset)-1] }

// position is the line and the column, in characters, of an offset, both from 1.
func (s *Source) position(offset int) (line, column int) {
	offset = min(max(offset, 0), len(s.Text))
	line = s.LineAt(offset)
	return line, utf8.RuneCount(s.Text[s.Starts[line-1]:offset]) + 1
}

// Line is the text of a line, counted from 1, without its end.
func (s *Source) Line(n int) string {
	end := len(s.Text)
	if n < len(s.Starts) {
		end = s.Starts[n] - 1
	}
	return strings.TrimSuffix(string(s.Text[s.Starts[n-1]:end]), "\r")
}

// problem is one at an offset, fit to be shown.
func (s *Source) problem(offset int, message, advice string) Problem {
	line, column := s.position(offset)
	text, at := s.around(offset, line, column)
	return Problem{
		Line: line, Column: column, Message: Printable(message),
		Advice: Printable(advice), Excerpt: excerpt(text, at),
	}
}

// around is the line that holds an offset and the column in it, or of a very long line the stretch
// around the offset and the column in that.
func (s *Source) around(offset, line, column int) (text string, at int) {
	const most = 4096 // bytes; several times what an excerpt shows
	start, end := s.Starts[line-1], len(s.Text)
	if line < len(s.Starts) {
		end = s.Starts[line] - 1
	}
	if end-start <= most {
		if text, ok := s.Shown[line]; ok {
			return text, column
		}
		return strings.TrimSuffix(string(s.Text[start:end]), "\r"), column
	}
	offset = min(max(offset, start), end)
	from, to := max(start, offset-most/2), min(end, offset+most/2)
	for from > start && !utf8.RuneStart(s.Text[from]) {
		from--
	}
	for to < end && !utf8.RuneStart(s.Text[to]) {
		to++
	}
	return string(s.Text[from:to]), utf8.RuneCount(s.Text[from:offset]) + 1
}

// Fail notes a problem at an offset.
func (s *Source) Fail(offset int, message, advice string) {
	if len(s.found) < maxProblems+1 {
		s.found = append(s.found, s.problem(offset, message, advice))
	}
}

// FailWhole notes a problem of the whole file.
func (s *Source) FailWhole(message, advice string) {
	s.found = append(s.found, Problem{Message: message, Advice: advice})
}

// Remark notes what is legal at an offset but may not be meant.
func (s *Source) Remark(offset int, message string) {
	if len(s.Remarks) < maxProblems {
		s.Remarks = append(s.Remarks, s.problem(offset, message, ""))
	}
}

// Clean reports whether nothing was found wrong.
func (s *Source) Clean() bool { return len(s.found) == 0 }

// Hopeless reports whether more was found than is kept.
func (s *Source) Hopeless() bool { return len(s.found) > maxProblems }

// Forget drops what was found so far, where one thing explains it all.
func (s *Source) Forget() { s.found = nil }

// Problems is what was found, in the order of the text; where there is more than is kept, the last
// one says so.
func (s *Source) Problems() []Problem {
	slices.SortStableFunc(s.found, func(a, b Problem) int {
		return cmp.Or(a.Line-b.Line, a.Column-b.Column)
	})
	if s.Hopeless() {
		s.found = append(s.found[:maxProblems],
			Problem{Message: "there are more problems", Advice: "put these right first"})
	}
	return s.found
}

// LineEnd is the offset of the line break (\n or \r\n) at or after at, or the end of the text.
func LineEnd(text []byte, at int) int {
	end := bytes.IndexByte(text[at:], '\n')
	if end < 0 {
		return len(text)
	}
	end += at
	if end > at && text[end-1] == '\r' {
		end--
	}
	return end
}

// NextLine is the offset of the first character after the line that holds at.
func NextLine(text []byte, at int) int {
	end := bytes.IndexByte(text[min(at, len(text)):], '\n')
	if end < 0 {
		return len(text)
	}
	return min(at, len(text)) + end + 1
}
