// Package labels reads lists of marked spans: a table with the columns start_s, end_s and phrase,
// separated by commas, semicolons or tabs, or, without a header, start, end and phrase with tabs
// between, as audio editors export them.
package labels

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"clapladder.example/assess"
)

// most is the largest number of marks that is read.
const most = 10000

// Error says what is wrong with a list of marks.
type Error struct {
	Line    int // from 1; 0 where the whole file is meant
	Message string
	Advice  string // what to write instead
}

// Error is one line.
func (e *Error) Error() string {
	if e.Line == 0 {
		return e.Message + "; " + e.Advice
	}
	return fmt.Sprintf("line %d: %s; %s", e.Line, e.Message, e.Advice)
}

const example = `write a table with the header start_s,end_s,phrase, such as 12.5,15.0,gangway`

// Read reads a list of marks. Empty lines, lines that begin with "#" and lines that begin with a
// backslash, in which some editors put frequencies, are passed over. The phrase may be missing; a
// decimal comma is read as a point where commas do not separate columns. Errors are *Error.
func Read(data []byte) ([]assess.Mark, error) {
	if !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0 {
		return nil, &Error{Message: "this is not a text file", Advice: example}
	}
	var marks []assess.Mark
	parse, began := parseBare, false
	number := 0
	for line := range bytes.Lines(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))) {
		number++
		text := strings.TrimSpace(string(line))
		if text == "" || text[0] == '#' || text[0] == '\\' {
			continue
		}
		if !began {
			began = true
			if t, ok, err := header(text); err != nil {
				err.Line = number
				return nil, err
			} else if ok {
				parse = t.parse
				continue
			}
		}
		if len(marks) == most {
			return nil, &Error{
				Line: number, Message: fmt.Sprintf("more than %d marks", most),
				Advice: "keep the marks of one warm-up",
			}
		}
		mark, err := parse(text)
		if err != nil {
			err.Line = number
			return nil, err
		}
		marks = append(marks, mark)
	}
	if len(marks) == 0 {
		return nil, &Error{Message: "the file has no marks", Advice: example}
	}
	return marks, nil
}

// table is what a header says.
type table struct {
	separator          rune
	start, end, phrase int // columns, from 0; phrase is -1 where there is none
}

// header reads a first line that names columns; it is false for a line that doesn't.
func header(text string) (table, bool, *Error) {
	for _, separator := range []rune{'\t', ';', ','} {
		t := table{separator: separator, start: -1, end: -1, phrase: -1}
		fields, err := t.fields(text)
		if err != nil {
			continue
		}
		for i, field := range fields {
			switch strings.ToLower(strings.TrimSpace(field)) {
			case "start_s":
				t.start = i
			case "end_s":
				t.end = i
			case "phrase":
				t.phrase = i
			}
		}
		switch {
		case t.start < 0 && t.end < 0:
			continue
		case t.start < 0 || t.end < 0:
			return t, false, &Error{
				Message: "the header needs the columns start_s and end_s",
				Advice:  example,
			}
		}
		return t, true, nil
	}
	return table{}, false, nil
}

func (t table) fields(text string) ([]string, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma = t.separator
	return r.Read()
}

// parse reads a line of a table with a header.
func (t table) parse(text string) (assess.Mark, *Error) {
	fields, err := t.fields(text)
	if err != nil {
		return assess.Mark{}, &Error{Message: "the quotes of this line don't match", Advice: example}
	}
	if len(fields) <= max(t.start, t.end) {
		return assess.Mark{}, &Error{Message: "the line has fewer columns than the header", Advice: example}
	}
	label := ""
	if t.phrase >= 0 && t.phrase < len(fields) {
		label = fields[t.phrase]
	}
	return mark(fields[t.start], fields[t.end], label)
}

// parseBare reads a line of a file without a header.
func parseBare(text string) (assess.Mark, *Error) {
	fields := strings.SplitN(text, "\t", 3)
	if len(fields) < 2 {
		return assess.Mark{}, &Error{Message: "there is no header, and no two times with a tab " +
			"between", Advice: example}
	}
	label := ""
	if len(fields) == 3 {
		label = fields[2]
	}
	return mark(fields[0], fields[1], label)
}

func mark(start, end, label string) (assess.Mark, *Error) {
	from, okStart := seconds(start)
	to, okEnd := seconds(end)
	switch {
	case !okStart:
		return assess.Mark{}, &Error{Message: fmt.Sprintf("%q is not a time in seconds",
			clip(start)), Advice: example}
	case !okEnd:
		return assess.Mark{}, &Error{
			Message: fmt.Sprintf("%q is not a time in seconds", clip(end)),
			Advice:  example,
		}
	case to < from:
		return assess.Mark{}, &Error{Message: fmt.Sprintf("the mark ends at %s, before it starts "+
			"at %s", end, start), Advice: "write the earlier time first"}
	}
	return assess.Mark{Start: from, End: to, Label: strings.TrimSpace(label)}, nil
}

// seconds reads a time of at most a week.
func seconds(text string) (float64, bool) {
	x, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(text), ",", ".", 1), 64)
	return x, err == nil && !math.IsNaN(x) && x >= 0 && x <= 7*24*3600
}

func clip(text string) string {
	if r := []rune(text); len(r) > 20 {
		return string(r[:20]) + "..."
	}
	return text
}
