// Package csvtext reads and changes the CSV sheets of banks, repertoires and results, with the
// place of each cell, and knows what spreadsheets do to them: other separators, dates made of
// metres, texts run as formulas.
package csvtext

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"

	"clapladder.example/patterns/internal/textfile"
)

// Sheet is a CSV file cut into cells.
type Sheet struct {
	Separator rune               // between cells
	Columns   []string           // canonical keys; empty for a column without a header
	Rows      [][]textfile.Value // each as long as Columns, or shorter, with one cell at least

	heads []textfile.Value // the header
}

// separatorOf finds what separates cells: comma, semicolon or tab, whichever the first line has
// most of. A first line "sep=;" as spreadsheets write it says so itself; start is the offset of the
// line after it.
func separatorOf(text []byte) (separator rune, start int) {
	first := text[:textfile.LineEnd(text, 0)]
	if rest, ok := bytes.CutPrefix(bytes.ToLower(bytes.Trim(first, `"`)), []byte("sep=")); ok &&
		len(rest) == 1 {
		return rune(rest[0]), textfile.NextLine(text, 0)
	}
	for len(bytes.TrimSpace(first)) == 0 && start < len(text) {
		start = textfile.NextLine(text, start)
		first = text[start:textfile.LineEnd(text, start)]
	}
	separator, most := ',', 0
	for _, candidate := range ",;\t" {
		n, quoted := 0, false
		for _, r := range string(first) {
			switch {
			case r == '"':
				quoted = !quoted
			case r == candidate && !quoted:
				n++
			}
		}
		if n > most {
			separator, most = candidate, n
		}
	}
	return separator, start
}

// Rows hands over the rows of a sheet that hold something, cut into cells, and notes what can't
// be read. A line that begins with comment is left out, where comment is not 0.
func Rows(s *textfile.Source, comment rune) (separator rune, rows iter.Seq[[]textfile.Value]) {
	separator, start := separatorOf(s.Text)
	return separator, func(yield func([]textfile.Value) bool) {
		if !slices.Contains([]rune(",;\t|"), separator) {
			s.Fail(0, fmt.Sprintf("%q can't separate cells", separator),
				"write sep=, or sep=; or leave the line out")
			return
		}
		reader := csv.NewReader(bytes.NewReader(s.Text[start:]))
		reader.Comma, reader.Comment = separator, comment
		reader.FieldsPerRecord, reader.ReuseRecord = -1, true
		skipped := s.LineAt(start) - 1
		for {
			record, err := reader.Read()
			if errors.Is(err, io.EOF) {
				return
			}
			if parseError, ok := errors.AsType[*csv.ParseError](err); ok {
				failCSV(s, parseError, skipped)
				continue
			}
			if err != nil { // can't be: the text is in memory
				s.FailWhole(err.Error(), "")
				return
			}
			if !slices.ContainsFunc(record,
				func(cell string) bool { return strings.TrimSpace(cell) != "" }) {
				continue
			}
			cells := make([]textfile.Value, len(record))
			for i, text := range record {
				line, column := reader.FieldPos(i)
				from := s.Starts[line+skipped-1] + column - 1
				cells[i] = textfile.Value{
					Kind: textfile.Cell, Text: strings.Clone(text), Start: from,
					End: cellEnd(s.Text, from, separator),
				}
			}
			if !yield(cells) {
				return
			}
		}
	}
}

// Read reads the header and the rows and notes what can't be read. known are the columns of the
// kind of file.
func Read(s *textfile.Source, known []string) *Sheet {
	separator, rows := Rows(s, 0)
	sh := &Sheet{Separator: separator}
	for cells := range rows {
		if sh.heads == nil {
			sh.heads = cells
			if !sh.header(s, cells, known) {
				break
			}
			continue
		}
		if len(cells) > len(sh.Columns) {
			for _, extra := range cells[len(sh.Columns):] {
				if strings.TrimSpace(extra.Text) != "" {
					s.Fail(extra.Start, "the row has more cells than the header",
						fmt.Sprintf("put text that holds %q in double quotes", separator))
					break
				}
			}
			cells = cells[:len(sh.Columns)]
		}
		for i := range cells {
			if HoldsText(sh.Columns[i]) {
				cells[i].Text = fromText(cells[i].Text)
			}
		}
		sh.Rows = append(sh.Rows, cells)
	}
	return sh
}

// failCSV notes an error of the reader, which begins after the given number of lines.
func failCSV(s *textfile.Source, err *csv.ParseError, skipped int) {
	offset := func(line, column int) int {
		line = min(line+skipped, len(s.Starts))
		return min(s.Starts[line-1]+column-1, len(s.Text))
	}
	if at := offset(err.Line, err.Column); errors.Is(err.Err, csv.ErrBareQuote) {
		s.Fail(at, `a " inside a cell`,
			`put the whole cell in double quotes and write "" for each " inside it`)
	} else if err.StartLine != err.Line || at >= len(s.Text) {
		s.Fail(offset(err.StartLine, 1), `a cell of the row begins with " and is not closed`,
			`write " after the text`)
	} else {
		s.Fail(at, `something after the " that closes a cell`, `write "" for a " inside a cell`)
	}
}
