package bank

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// sheet is a CSV file cut into cells.
type sheet struct {
	separator rune
	heads     []value   // the header
	columns   []string  // canonical keys; empty for a column without a header
	rows      [][]value // each as long as columns, or shorter
	starts    []int     // offset of each row
	start     int       // of the header, after a line "sep=;"
}

// separatorOf finds what separates cells: comma, semicolon or tab, whichever the first line has
// most of. A first line "sep=;" as spreadsheets write it says so itself; start is the offset of the
// line after it.
func separatorOf(text []byte) (separator rune, start int) {
	first := text[:lineEnd(text, 0)]
	if rest, ok := bytes.CutPrefix(bytes.ToLower(bytes.Trim(first, `"`)), []byte("sep=")); ok && len(rest) == 1 {
		return rune(rest[0]), nextLine(text, 0)
	}
	for len(bytes.TrimSpace(first)) == 0 && start < len(text) {
		start = nextLine(text, start)
		first = text[start:lineEnd(text, start)]
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

// readSheet reads the header and the rows and notes what can't be read. known are the columns of
// the kind of file.
func readSheet(s *source, known []string) *sheet {
	separator, start := separatorOf(s.text)
	if !slices.Contains([]rune(",;\t|"), separator) {
		s.fail(0, fmt.Sprintf("%q can't separate cells", separator),
			"write sep=, or sep=; or leave the line out")
		return &sheet{}
	}
	reader := csv.NewReader(bytes.NewReader(s.text[start:]))
	reader.Comma, reader.FieldsPerRecord, reader.ReuseRecord = separator, -1, true
	skipped := s.lineAt(start) - 1
	sh := &sheet{separator: separator, start: start}
	for header := true; ; {
		record, err := reader.Read()
		if errors.Is(err, io.EOF) {
			return sh
		}
		var parseError *csv.ParseError
		if errors.As(err, &parseError) {
			s.failCSV(parseError, skipped)
			continue
		}
		if err != nil { // can't be: the text is in memory
			s.failWhole(err.Error(), "")
			return sh
		}
		if !slices.ContainsFunc(record, func(cell string) bool { return strings.TrimSpace(cell) != "" }) {
			continue
		}
		cells := make([]value, len(record))
		for i, text := range record {
			line, column := reader.FieldPos(i)
			from := s.lines[line+skipped-1] + column - 1
			cells[i] = value{
				kind: cellValue, text: strings.Clone(text), start: from,
				end: cellEnd(s.text, from, separator),
			}
		}
		if header {
			header = false
			sh.heads = cells
			if !sh.header(s, cells, known) {
				return sh
			}
			continue
		}
		if len(cells) > len(sh.columns) {
			for _, extra := range cells[len(sh.columns):] {
				if strings.TrimSpace(extra.text) != "" {
					s.fail(extra.start, "the row has more cells than the header",
						fmt.Sprintf("put text that holds %q in double quotes", separator))
					break
				}
			}
			cells = cells[:len(sh.columns)]
		}
		for i := range cells {
			if slices.Contains(textColumns, sh.columns[i]) {
				cells[i].text = fromText(cells[i].text)
			}
		}
		sh.rows, sh.starts = append(sh.rows, cells), append(sh.starts, cells[0].start)
	}
}

func (s *source) failCSV(err *csv.ParseError, skipped int) {
	offset := func(line, column int) int {
		line = min(line+skipped, len(s.lines))
		return min(s.lines[line-1]+column-1, len(s.text))
	}
	if at := offset(err.Line, err.Column); errors.Is(err.Err, csv.ErrBareQuote) {
		s.fail(at, `a " inside a cell`, `put the whole cell in double quotes and write "" for each " inside it`)
	} else if err.StartLine != err.Line || at >= len(s.text) {
		s.fail(offset(err.StartLine, 1), `a cell of the row begins with " and is not closed`,
			`write " after the text`)
	} else {
		s.fail(at, `something after the " that closes a cell`, `write "" for a " inside a cell`)
	}
}

// maxColumns bounds the columns of a sheet; spreadsheets may add a few empty ones.
const maxColumns = 100

// header reads the names of the columns. It reports whether the rows can be understood.
func (sh *sheet) header(s *source, cells []value, known []string) bool {
	example := "write a first line " + strings.Join(forPeople(known), ",")
	if len(cells) > maxColumns {
		s.fail(cells[maxColumns].start, fmt.Sprintf("more than %d columns", maxColumns), example)
		return false
	}
	found := false
	for _, cell := range cells {
		_, meant := meantKey(cell.text, known)
		found = found || meant
	}
	if !found {
		s.fail(cells[0].start, "the first line does not name the columns", example)
		return false
	}
	for _, cell := range cells {
		name := strings.ToLower(strings.TrimSpace(cell.text))
		if (name == "part" || name == "role") && !slices.Contains(known, name) {
			s.fail(cell.start, "this is a repertoire of pieces, not a bank",
				"give it where a file of that kind is asked for")
			return false
		}
	}
	for _, cell := range cells {
		name := strings.TrimSpace(cell.text)
		key, meant := meantKey(name, known)
		switch {
		case name == "":
		case !meant:
			s.fail(cell.start, fmt.Sprintf("there is no column %q in this kind of file", cut(name)),
				"name it one of "+strings.Join(forPeople(known), ", ")+", or take it out")
		case !strings.EqualFold(key, name):
			s.fail(cell.start, fmt.Sprintf("there is no column %q in this kind of file", cut(name)),
				"write "+key)
		case slices.Contains(sh.columns, key):
			s.fail(cell.start, fmt.Sprintf("there are two columns %q", key), "take one of them out")
			key = ""
		}
		sh.columns = append(sh.columns, key)
	}
	ok := true
	required := []string{"id", "meter", "rhythm"}
	if slices.Contains(known, "role") {
		required = []string{"id", "meter", "role", "rhythm"} // without it a bank would pass for a repertoire
	}
	for _, key := range required {
		if !slices.Contains(sh.columns, key) {
			s.fail(cells[0].start, fmt.Sprintf("there is no column %q", key), example)
			ok = false
		}
	}
	return ok
}

// cellEnd is where the cell that begins at offset at ends, quotes included.
func cellEnd(text []byte, at int, separator rune) int {
	if at < len(text) && text[at] == '"' {
		for i := at + 1; i < len(text); i++ {
			if text[i] != '"' {
				continue
			}
			if i+1 < len(text) && text[i+1] == '"' {
				i++
				continue
			}
			return i + 1
		}
		return len(text)
	}
	end := at
	for end < len(text) && text[end] != byte(separator) && text[end] != '\n' {
		end++
	}
	if end > at && end < len(text) && text[end] == '\n' && text[end-1] == '\r' {
		end--
	}
	return end
}

// cellOffsets is [textOffsets] for a cell.
func cellOffsets(raw []byte) []int {
	if len(raw) < 2 || raw[0] != '"' {
		return plainOffsets(raw, 0, len(raw))
	}
	offsets := make([]int, 0, len(raw))
	for i := 1; i < len(raw)-1; i += runeWidth(raw[i:]) {
		if raw[i] == '"' || raw[i] == '\r' && raw[i+1] == '\n' {
			i++ // "" is one quote, \r\n one line break
		}
		offsets = append(offsets, i)
	}
	return append(offsets, len(raw)-1)
}

func runeWidth(text []byte) int {
	_, width := utf8.DecodeRune(text)
	return width
}
