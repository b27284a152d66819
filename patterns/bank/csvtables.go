package bank

import (
	"fmt"
	"slices"
	"strings"

	"clapladder.example/patterns/internal/csvtext"
	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/vocabulary"
)

// phraseTables turns each row into the table of a phrase.
func phraseTables(sh *csvtext.Sheet, _ *textfile.Source) []*textfile.Table {
	tables := make([]*textfile.Table, len(sh.Rows))
	for i, row := range sh.Rows {
		tables[i] = rowTable(sh, row, "phrase", vocabulary.PhraseKeys)
	}
	return tables
}

// rowTable is a row as a table of that name, with those cells that belong to one of the keys.
func rowTable(sh *csvtext.Sheet, row []textfile.Value, name string, keys []string) *textfile.Table {
	t := &textfile.Table{Name: name, Many: true, At: row[0].Start}
	for i, cell := range row {
		if slices.Contains(keys, sh.Columns[i]) {
			t.Fields = append(t.Fields,
				textfile.Field{Key: sh.Columns[i], At: cell.Start, Value: cell})
		}
	}
	return t
}

// The columns of a repertoire: each row is one part, with what belongs to its piece. The column
// part is the name of the part.
var repertoireColumns = []string{
	"id", "name", "meter", "tempo", "tier", "tags", "notes", "part",
	"role", "rhythm",
}

// pieceTables turns rows into the tables of pieces and parts. A row belongs to the piece with its
// id, or to that of the row above where it has none. What belongs to the piece stands in its first
// row and may be repeated, or left out, in others; metre and tempo there are those of the part.
func pieceTables(sh *csvtext.Sheet, s *textfile.Source) []*textfile.Table {
	type piece struct {
		table *textfile.Table
		parts []*textfile.Table
	}
	var pieces []*piece
	byID := map[string]*piece{}
	var current *piece
	for _, row := range sh.Rows {
		of := rowTable(sh, row, "piece", vocabulary.PieceKeys)
		id, _ := of.Field("id")
		key := strings.ToLower(strings.TrimSpace(id.Value.Text))
		switch known := byID[key]; {
		case key == "" && current != nil:
			sameOfPiece(s, current.table, of)
		case known != nil:
			current = known
			sameOfPiece(s, current.table, of)
		default:
			current = &piece{table: of}
			pieces = append(pieces, current)
			byID[key] = current
		}
		part := rowTable(sh, row, "piece.part",
			[]string{"part", "role", "rhythm", "meter", "tempo"})
		part.Fields = slices.DeleteFunc(part.Fields, func(f textfile.Field) bool {
			return f.Key != "rhythm" && strings.TrimSpace(f.Value.Text) == ""
		})
		if len(current.parts) == 0 { // the same cells as those of the piece, checked itself
			part.Fields = slices.DeleteFunc(part.Fields,
				func(f textfile.Field) bool { return f.Key == "meter" || f.Key == "tempo" })
		}
		for j, f := range part.Fields {
			if f.Key == "part" {
				part.Fields[j].Key = "name"
			}
		}
		current.parts = append(current.parts, part)
	}
	var tables []*textfile.Table
	for _, p := range pieces {
		tables = append(append(tables, p.table), p.parts...)
	}
	return tables
}

// sameOfPiece notes where a later row says something else about its piece than the first.
func sameOfPiece(s *textfile.Source, first, later *textfile.Table) {
	for _, f := range later.Fields {
		text := strings.TrimSpace(f.Value.Text)
		if text == "" || f.Key == "id" || f.Key == "meter" || f.Key == "tempo" {
			continue
		}
		if before, _ := first.Field(f.Key); strings.TrimSpace(before.Value.Text) != text {
			s.Fail(f.Value.Start, fmt.Sprintf("%s differs from that of the piece's first row, "+
				"line %d", f.Key, s.LineAt(first.At)), "leave the cell empty or write the same")
		}
	}
}
