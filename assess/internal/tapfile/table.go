package tapfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"clapladder.example/assess/internal/words"
)

// columns are the columns of a table of taps, in any order.
var columns = []string{"round", "role", "time_s"}

// readTable reads comma, semicolon or tab separated rows. Rounds come in order of first mention.
func readTable(data []byte) ([]Round, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0 {
		return nil, &Error{
			Message: "this is neither a table of taps nor a MIDI file",
			Advice:  `give rows with the columns "round,role,time_s"`,
		}
	}
	reader := csv.NewReader(bytes.NewReader(data))
	reader.FieldsPerRecord = -1
	reader.Comment = '#'
	first := firstRow(data)
	for _, separator := range []byte{'\t', ';'} {
		if bytes.IndexByte(first, separator) >= 0 {
			reader.Comma = rune(separator)
		}
	}
	reader.TrimLeadingSpace = reader.Comma != '\t' // or an empty cell would be taken for white space
	header, err := reader.Read()
	if err != nil {
		return nil, tableError(err, "the table of taps is empty")
	}
	at, err := columnsOf(header)
	if err != nil {
		return nil, err
	}
	var out []Round
	index := map[string]int{}
	for {
		row, err := reader.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, tableError(err, "")
		}
		line, _ := reader.FieldPos(0)
		if err := addTap(&out, index, row, at, line); err != nil {
			return nil, err
		}
	}
	if len(out) == 0 {
		return nil, &Error{
			Message: "the table of taps has no row",
			Advice:  `write one row a stroke, for example "1,call,0.52"`,
		}
	}
	for i := range out {
		slices.Sort(out[i].Call)
		slices.Sort(out[i].Response)
	}
	return out, nil
}

// firstRow is the first line that is neither empty nor a comment.
func firstRow(data []byte) []byte {
	for line := range bytes.Lines(data) {
		if line = bytes.TrimSpace(line); len(line) > 0 && line[0] != '#' {
			return line
		}
	}
	return nil
}

// columnsOf finds the columns.
func columnsOf(header []string) ([3]int, error) {
	var at [3]int
	for i, want := range columns {
		at[i] = slices.IndexFunc(header,
			func(name string) bool { return strings.EqualFold(strings.TrimSpace(name), want) })
		if at[i] < 0 {
			return at, &Error{
				Line: 1, Message: fmt.Sprintf("there is no column %q", want),
				Advice: `begin the file with the line "round,role,time_s"`,
			}
		}
	}
	return at, nil
}

func addTap(out *[]Round, index map[string]int, row []string, at [3]int, line int) error {
	if len(row) <= slices.Max(at[:]) {
		return &Error{
			Line: line, Message: fmt.Sprintf("the row has %s", words.Count(len(row), "field")),
			Advice: `write round, role and time, for example "1,call,0.52"`,
		}
	}
	label, role := strings.TrimSpace(row[at[0]]), strings.ToLower(strings.TrimSpace(row[at[1]]))
	text := strings.TrimSpace(row[at[2]])
	time, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || !validTime(time) {
		return &Error{
			Line: line, Message: fmt.Sprintf("%q is not a time", text),
			Advice: "write seconds from the start, for example 0.52",
		}
	}
	if label == "" {
		return &Error{Line: line, Message: "the round is missing", Advice: "number the rounds 1, 2, 3 …"}
	}
	if len(label) > longestLabel || strings.ContainsFunc(label, unprintable) {
		return &Error{
			Line: line, Message: "the round is no number or short name on one line",
			Advice: "number the rounds 1, 2, 3 …, and close every quotation mark",
		}
	}
	i, ok := index[label]
	if !ok {
		i = len(*out)
		index[label] = i
		*out = append(*out, Round{Label: label, Line: line})
	}
	switch role {
	case "call":
		(*out)[i].Call = append((*out)[i].Call, time)
	case "response":
		(*out)[i].Response = append((*out)[i].Response, time)
	default:
		return &Error{
			Line: line, Message: fmt.Sprintf("%q is not a role", role),
			Advice: "write call or response",
		}
	}
	return nil
}

// tableError puts a csv error in our words.
func tableError(err error, empty string) error {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return &Error{
			Line: parse.Line, Message: "the row can't be read: " + parse.Err.Error(),
			Advice: `write plain rows, for example "1,call,0.52"`,
		}
	}
	if errors.Is(err, io.EOF) && empty != "" {
		return &Error{Message: empty, Advice: `begin with the line "round,role,time_s"`}
	}
	return fmt.Errorf("reading taps: %w", err)
}

// longestLabel is how many bytes name a round at most: errors repeat it.
const longestLabel = 80

func unprintable(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) }
