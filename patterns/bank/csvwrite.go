package bank

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"

	"clapladder.example/rhythm"
)

// EncodeCSV writes the bank as a sheet that [Load] reads, cells separated by a comma, a semicolon
// or a tab. Columns that no phrase uses (difficulty and what goes with it, notes) are left out. The
// same bank gives the same bytes.
//
// Spreadsheets may take a metre for a date and an accented first box for the beginning of a
// sentence: open the file with all columns as text. Names, tags and notes that they would run as a
// formula get an apostrophe in front, which Load takes off again.
func (b *Bank) EncodeCSV(separator rune) ([]byte, error) {
	columns := slices.Clone(phraseKeys)
	columns = dropUnused(columns, "difficulty",
		slices.ContainsFunc(b.Entries, func(e Entry) bool { return e.Difficulty != 0 }))
	columns = dropUnused(columns, "difficulty_sd",
		slices.ContainsFunc(b.Entries, func(e Entry) bool { return e.DifficultySD != 0 }))
	columns = dropUnused(columns, "learned_from",
		slices.ContainsFunc(b.Entries, func(e Entry) bool { return e.LearnedFrom != 0 }))
	columns = dropUnused(columns, "notes", slices.ContainsFunc(b.Entries,
		func(e Entry) bool { return e.Notes != "" }))
	rows := [][]string{columns}
	for _, e := range b.Entries {
		rows = append(rows, entryRow(e, columns))
	}
	data, err := encodeRows(rows, separator)
	if err != nil {
		return nil, err
	}
	if _, err := unlimited.Bank("", data); err != nil {
		return nil, err
	}
	return data, nil
}

// textColumns hold what people wrote freely.
var textColumns = []string{"name", "tags", "notes", "part"}

// asText keeps a spreadsheet from running a text, which may come from a stranger's file. An
// apostrophe goes before what begins as a formula, and before what would be read as such a text
// with its apostrophe, so that fromText gives every text back.
func asText(text string) string {
	if looksLikeFormula(strings.TrimLeft(text, "'")) {
		return "'" + text
	}
	return text
}

func fromText(cell string) string {
	if rest, ok := strings.CutPrefix(cell, "'"); ok && looksLikeFormula(strings.TrimLeft(rest, "'")) {
		return rest
	}
	return cell
}

func looksLikeFormula(text string) bool {
	return text != "" && strings.IndexByte("=+-@\t\r", text[0]) >= 0
}

func dropUnused(columns []string, column string, used bool) []string {
	if used {
		return columns
	}
	return slices.DeleteFunc(columns, func(c string) bool { return c == column })
}

// entryRow is the cells of an entry under the given columns; those it has nothing for are empty.
func entryRow(e Entry, columns []string) []string {
	row := make([]string, len(columns))
	for i, column := range columns {
		switch column {
		case "id":
			row[i] = e.ID
		case "name":
			if e.Name != e.ID {
				row[i] = asText(e.Name)
			}
		case "meter":
			row[i] = e.Phrase.Meter().String()
		case "tempo":
			row[i] = formatNumber(e.Phrase.Tempo())
		case "rhythm":
			row[i] = e.Phrase.Written()
		case "tier":
			if e.Tier != 0 {
				row[i] = fmt.Sprint(e.Tier)
			}
		case "difficulty":
			if e.Difficulty != 0 {
				row[i] = formatNumber(e.Difficulty)
			}
		case "difficulty_sd":
			if e.DifficultySD != 0 {
				row[i] = formatNumber(e.DifficultySD)
			}
		case "learned_from":
			if e.LearnedFrom != 0 {
				row[i] = fmt.Sprint(e.LearnedFrom)
			}
		case "tags":
			row[i] = asText(strings.Join(e.Tags, ", "))
		case "notes":
			row[i] = asText(e.Notes)
		}
	}
	return row
}

// EncodeCSV writes the repertoire as a sheet with a row for each part that [LoadRepertoire] reads,
// as [Bank.EncodeCSV] does a bank. What belongs to a piece stands in the row of its first part.
func (r *Repertoire) EncodeCSV(separator rune) ([]byte, error) {
	columns := slices.Clone(repertoireColumns)
	columns = dropUnused(columns, "tier", slices.ContainsFunc(r.Pieces,
		func(p Piece) bool { return p.Tier != 0 }))
	columns = dropUnused(columns, "notes", slices.ContainsFunc(r.Pieces,
		func(p Piece) bool { return p.Notes != "" }))
	rows := [][]string{columns}
	for _, p := range r.Pieces {
		var first rhythm.Phrase
		for i, part := range p.Parts {
			row := make([]string, len(columns))
			set := func(column, text string) {
				if at := slices.Index(columns, column); at >= 0 {
					row[at] = text
				}
			}
			set("id", p.ID)
			if i == 0 {
				first = part.Phrase
				if p.Name != p.ID {
					set("name", asText(p.Name))
				}
				if p.Tier != 0 {
					set("tier", fmt.Sprint(p.Tier))
				}
				set("tags", asText(strings.Join(p.Tags, ", ")))
				set("notes", asText(p.Notes))
			}
			if i == 0 || part.Phrase.Meter() != first.Meter() {
				set("meter", part.Phrase.Meter().String())
			}
			if i == 0 || part.Phrase.Tempo() != first.Tempo() {
				set("tempo", formatNumber(part.Phrase.Tempo()))
			}
			if part.Name != string(part.Role) {
				set("part", asText(part.Name))
			}
			set("role", string(part.Role))
			set("rhythm", part.Phrase.Written())
			rows = append(rows, row)
		}
	}
	data, err := encodeRows(rows, separator)
	if err != nil {
		return nil, err
	}
	if _, err := unlimited.Repertoire("", data); err != nil {
		return nil, err
	}
	return data, nil
}

func encodeRows(rows [][]string, separator rune) ([]byte, error) {
	if !strings.ContainsRune(",;\t", separator) {
		return nil, fmt.Errorf("%q can't separate cells; write a comma, a semicolon or a tab", separator)
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Comma = separator
	if err := w.WriteAll(rows); err != nil {
		return nil, fmt.Errorf("the sheet can't be written: %w", err)
	}
	return out.Bytes(), nil
}
