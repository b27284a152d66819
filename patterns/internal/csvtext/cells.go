package csvtext

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"

	"clapladder.example/patterns/internal/textfile"
)

// HoldsText reports whether people write freely in a column.
func HoldsText(column string) bool {
	return column == "name" || column == "tags" || column == "notes" || column == "part"
}

// AsText keeps a spreadsheet from running a text, which may come from a stranger's file. An
// apostrophe goes before what begins as a formula, and before what would be read as such a text
// with its apostrophe, so that fromText gives every text back.
func AsText(text string) string {
	if looksLikeFormula(strings.TrimLeft(text, "'")) {
		return "'" + text
	}
	return text
}

func fromText(cell string) string {
	if rest, ok := strings.CutPrefix(cell, "'"); ok &&
		looksLikeFormula(strings.TrimLeft(rest, "'")) {
		return rest
	}
	return cell
}

func looksLikeFormula(text string) bool {
	return text != "" && strings.IndexByte("=+-@\t\r", text[0]) >= 0
}

// Encode writes rows with a comma, a semicolon or a tab between their cells.
func Encode(rows [][]string, separator rune) ([]byte, error) {
	if !strings.ContainsRune(",;\t", separator) {
		return nil, fmt.Errorf("%q can't separate cells; write a comma, a semicolon or a tab",
			separator)
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Comma = separator
	if err := w.WriteAll(rows); err != nil {
		return nil, fmt.Errorf("the sheet can't be written: %w", err)
	}
	return out.Bytes(), nil
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

// Offsets says where in a cell each character of its text stands: element i is the offset, from the
// start of raw, of character i, and one more element is the end of the text. raw includes the
// quotes. It must be well formed.
func Offsets(raw []byte) []int {
	if len(raw) < 2 || raw[0] != '"' {
		return textfile.PlainOffsets(raw, 0, len(raw))
	}
	offsets := make([]int, 0, len(raw))
	for i := 1; i < len(raw)-1; i += textfile.Width(raw[i:]) {
		if raw[i] == '"' || raw[i] == '\r' && raw[i+1] == '\n' {
			i++ // "" is one quote, \r\n one line break
		}
		offsets = append(offsets, i)
	}
	return append(offsets, len(raw)-1)
}
