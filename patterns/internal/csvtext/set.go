package csvtext

import (
	"fmt"
	"slices"
	"strings"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/vocabulary"
)

// Set carries out edits of phrases, which the sheet must have, and leaves everything else of it as
// it is.
func Set(s *textfile.Source, edits []textfile.Edit) ([]byte, error) {
	missing := func(sh *Sheet, key string) bool {
		return !slices.Contains(sh.Columns, key) &&
			slices.ContainsFunc(edits,
				func(e textfile.Edit) bool { return e.Key == key && e.Value != "" })
	}
	sh := Read(s, vocabulary.PhraseKeys)
	for _, key := range []string{"tier", "difficulty", "difficulty_sd", "learned_from"} {
		if missing(sh, key) {
			sh.AddColumn(s, key)
			sh = Read(s, vocabulary.PhraseKeys)
		}
	}
	idColumn := slices.Index(sh.Columns, "id")
	rows := map[string][]textfile.Value{}
	for _, row := range sh.Rows {
		if idColumn < len(row) {
			rows[strings.TrimSpace(row[idColumn].Text)] = row
		}
	}
	var changes textfile.Changes
	for _, e := range edits {
		row, ok := rows[e.ID]
		if !ok {
			return nil, fmt.Errorf("the bank has no phrase %q", e.ID)
		}
		column := slices.Index(sh.Columns, e.Key)
		switch {
		case column < 0:
		case column < len(row):
			changes.Put(row[column].Start, row[column].End, e.Value)
		case e.Value != "":
			at := row[len(row)-1].End
			changes.Put(at, at, strings.Repeat(string(sh.Separator), column-len(row)+1)+e.Value)
		}
	}
	return changes.Apply(s.Text), nil
}

// AddColumn adds an empty column behind the last one to the text that the sheet was read from, and
// its name to the header. Rows that are shorter stay so.
func (sh *Sheet) AddColumn(s *textfile.Source, key string) {
	last := len(sh.Columns) - 1
	separator := string(sh.Separator)
	var changes textfile.Changes
	changes.Put(sh.heads[last].End, sh.heads[last].End, separator+key)
	for _, row := range sh.Rows {
		if last < len(row) {
			changes.Put(row[last].End, row[last].End, separator)
		}
	}
	s.SetText(changes.Apply(s.Text))
}
