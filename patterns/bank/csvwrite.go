package bank

import (
	"fmt"
	"slices"
	"strings"

	"clapladder.example/patterns/internal/csvtext"
	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/vocabulary"
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
	columns := slices.Clone(vocabulary.PhraseKeys)
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
	data, err := csvtext.Encode(rows, separator)
	if err != nil {
		return nil, err
	}
	if _, err := unlimited.Bank("", data); err != nil {
		return nil, err
	}
	return data, nil
}

func dropUnused(columns []string, column string, used bool) []string {
	if used {
		return columns
	}
	return slices.DeleteFunc(columns, func(c string) bool { return c == column })
}

// entryRow is the cells of an entry under the given columns; those it has nothing for are empty.
func entryRow(e Entry, columns []string) []string {
	written := writtenOf(e)
	row := make([]string, len(columns))
	for i, column := range columns {
		row[i] = written[column]
		if csvtext.HoldsText(column) {
			row[i] = csvtext.AsText(row[i])
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
					set("name", csvtext.AsText(p.Name))
				}
				if p.Tier != 0 {
					set("tier", fmt.Sprint(p.Tier))
				}
				set("tags", csvtext.AsText(strings.Join(p.Tags, ", ")))
				set("notes", csvtext.AsText(p.Notes))
			}
			if i == 0 || part.Phrase.Meter() != first.Meter() {
				set("meter", part.Phrase.Meter().String())
			}
			if i == 0 || part.Phrase.Tempo() != first.Tempo() {
				set("tempo", textfile.Number(part.Phrase.Tempo()))
			}
			if part.Name != string(part.Role) {
				set("part", csvtext.AsText(part.Name))
			}
			set("role", string(part.Role))
			set("rhythm", part.Phrase.Written())
			rows = append(rows, row)
		}
	}
	data, err := csvtext.Encode(rows, separator)
	if err != nil {
		return nil, err
	}
	if _, err := unlimited.Repertoire("", data); err != nil {
		return nil, err
	}
	return data, nil
}
