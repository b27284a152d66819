// Package labels reads lists of marked spans as audio editors export them: one span a line, its start and end in seconds
// and a label, separated by tabs.
package labels

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"clapladder.example/assess"
)

// Most is the largest number of marks that is read.
const Most = 10000

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

const example = `write start and end in seconds and a label with tabs between, such as "12.5<tab>15.0<tab>gangway"`

// Read reads a list of marks. Empty lines, lines that begin with "#" and lines that begin with a backslash, in which some
// editors put frequencies, are passed over. The label may be missing; a decimal comma is read as a point. Errors are
// *Error.
func Read(data []byte) ([]assess.Mark, error) {
	if !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0 {
		return nil, &Error{Message: "this is not a text file", Advice: example}
	}
	var marks []assess.Mark
	number := 0
	for line := range bytes.Lines(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))) {
		number++
		text := strings.TrimSpace(string(line))
		if text == "" || text[0] == '#' || text[0] == '\\' {
			continue
		}
		if len(marks) == Most {
			return nil, &Error{Line: number, Message: fmt.Sprintf("more than %d marks", Most), Advice: "keep the marks of one warm-up"}
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

func parse(text string) (assess.Mark, *Error) {
	fields := strings.SplitN(text, "\t", 3)
	if len(fields) < 2 {
		return assess.Mark{}, &Error{Message: "there are no two times with a tab between", Advice: example}
	}
	start, okStart := seconds(fields[0])
	end, okEnd := seconds(fields[1])
	switch {
	case !okStart:
		return assess.Mark{}, &Error{Message: fmt.Sprintf("%q is not a time in seconds", clip(fields[0])), Advice: example}
	case !okEnd:
		return assess.Mark{}, &Error{Message: fmt.Sprintf("%q is not a time in seconds", clip(fields[1])), Advice: example}
	case end < start:
		return assess.Mark{}, &Error{Message: fmt.Sprintf("the mark ends at %s, before it starts at %s", fields[1], fields[0]), Advice: "write the earlier time first"}
	}
	mark := assess.Mark{Start: start, End: end}
	if len(fields) == 3 {
		mark.Label = strings.TrimSpace(fields[2])
	}
	return mark, nil
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
