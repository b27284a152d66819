package bank

import (
	"fmt"
	"slices"
	"strings"
)

// phraseTables turns each row into the table of a phrase.
func (sh *sheet) phraseTables(*source) []*table {
	tables := make([]*table, len(sh.rows))
	for i, row := range sh.rows {
		tables[i] = &table{name: "phrase", many: true, at: sh.starts[i], fields: sh.fields(row, phraseKeys)}
	}
	return tables
}

// fields are the cells of a row that belong to one of the keys.
func (sh *sheet) fields(row []value, keys []string) []field {
	fields := make([]field, 0, len(row))
	for i, cell := range row {
		if slices.Contains(keys, sh.columns[i]) {
			fields = append(fields, field{key: sh.columns[i], at: cell.start, value: cell})
		}
	}
	return fields
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
func (sh *sheet) pieceTables(s *source) []*table {
	type piece struct {
		table *table
		parts []*table
	}
	var pieces []*piece
	byID := map[string]*piece{}
	var current *piece
	for i, row := range sh.rows {
		of := &table{name: "piece", many: true, at: sh.starts[i], fields: sh.fields(row, pieceKeys)}
		id, _ := of.field("id")
		key := strings.ToLower(strings.TrimSpace(id.value.text))
		switch known := byID[key]; {
		case key == "" && current != nil:
			sh.same(s, current.table, of)
		case known != nil:
			current = known
			sh.same(s, current.table, of)
		default:
			current = &piece{table: of}
			pieces = append(pieces, current)
			byID[key] = current
		}
		part := &table{
			name: "piece.part", many: true, at: sh.starts[i],
			fields: sh.fields(row, []string{"part", "role", "rhythm", "meter", "tempo"}),
		}
		part.fields = slices.DeleteFunc(part.fields,
			func(f field) bool { return f.key != "rhythm" && strings.TrimSpace(f.value.text) == "" })
		if len(current.parts) == 0 { // the same cells as those of the piece, which is checked itself
			part.fields = slices.DeleteFunc(part.fields,
				func(f field) bool { return f.key == "meter" || f.key == "tempo" })
		}
		for j, f := range part.fields {
			if f.key == "part" {
				part.fields[j].key = "name"
			}
		}
		current.parts = append(current.parts, part)
	}
	var tables []*table
	for _, p := range pieces {
		tables = append(append(tables, p.table), p.parts...)
	}
	return tables
}

// same notes where a later row says something else about its piece than the first.
func (sh *sheet) same(s *source, first, later *table) {
	for _, f := range later.fields {
		text := strings.TrimSpace(f.value.text)
		if text == "" || f.key == "id" || f.key == "meter" || f.key == "tempo" {
			continue
		}
		if before, _ := first.field(f.key); strings.TrimSpace(before.value.text) != text {
			s.fail(f.value.start, fmt.Sprintf("%s differs from that of the piece's first row, "+
				"line %d", f.key, s.lineAt(first.at)), "leave the cell empty or write the same")
		}
	}
}
