package bank

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
)

// appendRow adds a row, and columns for what the sheet has none yet.
func appendRow(s *source, e Entry) ([]byte, error) {
	for _, key := range phraseKeys {
		sh := readSheet(s, phraseKeys)
		if err := s.err(); err != nil {
			return nil, err
		}
		if entryRow(e, []string{key})[0] != "" && !slices.Contains(sh.columns, key) {
			s.setText(splice(s.text, sh.addColumn(key)))
		}
	}
	sh := readSheet(s, phraseKeys)
	row, err := encodeRows([][]string{entryRow(e, sh.columns)}, sh.separator)
	if err != nil {
		return nil, err
	}
	eol := lineBreak(s.text)
	out := slices.Clip(bytes.TrimRight(s.text, "\r\n"))
	return append(out, eol+strings.TrimSuffix(string(row), "\n")+eol...), nil
}

func editCSV(s *source, edits []fieldEdit) ([]byte, error) {
	missing := func(sh *sheet, key string) bool {
		return !slices.Contains(sh.columns, key) &&
			slices.ContainsFunc(edits, func(e fieldEdit) bool { return e.key == key && e.value != "" })
	}
	sh := readSheet(s, phraseKeys)
	for _, key := range []string{"tier", "difficulty", "difficulty_sd", "learned_from"} {
		if missing(sh, key) {
			s.setText(splice(s.text, sh.addColumn(key)))
			sh = readSheet(s, phraseKeys)
		}
	}
	idColumn := slices.Index(sh.columns, "id")
	rows := map[string][]value{}
	for _, row := range sh.rows {
		if idColumn < len(row) {
			rows[strings.TrimSpace(row[idColumn].text)] = row
		}
	}
	var changes []change
	for _, e := range edits {
		row, ok := rows[e.id]
		if !ok {
			return nil, fmt.Errorf("the bank has no phrase %q", e.id)
		}
		column := slices.Index(sh.columns, e.key)
		switch {
		case column < 0:
		case column < len(row):
			changes = append(changes, change{row[column].start, row[column].end, e.value})
		case e.value != "":
			at := row[len(row)-1].end
			changes = append(changes, change{
				at, at,
				strings.Repeat(string(sh.separator), column-len(row)+1) + e.value,
			})
		}
	}
	return splice(s.text, changes), nil
}

// addColumn adds an empty column behind the last one, and its name to the header. Rows that are
// shorter stay so.
func (sh *sheet) addColumn(key string) []change {
	last := len(sh.columns) - 1
	separator := string(sh.separator)
	at := sh.heads[last].end
	changes := []change{{at, at, separator + key}}
	for _, row := range sh.rows {
		if last < len(row) {
			changes = append(changes, change{row[last].end, row[last].end, separator})
		}
	}
	return changes
}
