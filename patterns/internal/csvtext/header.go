package csvtext

import (
	"fmt"
	"slices"
	"strings"

	"clapladder.example/patterns/internal/textfile"
	"clapladder.example/patterns/internal/vocabulary"
)

// maxColumns bounds the columns of a sheet; spreadsheets may add a few empty ones.
const maxColumns = 100

// header reads the names of the columns. It reports whether the rows can be understood.
func (sh *Sheet) header(s *textfile.Source, cells []textfile.Value, known []string) bool {
	example := "write a first line " + strings.Join(vocabulary.ForPeople(known), ",")
	if len(cells) > maxColumns {
		s.Fail(cells[maxColumns].Start, fmt.Sprintf("more than %d columns", maxColumns), example)
		return false
	}
	found := false
	for _, cell := range cells {
		_, meant := vocabulary.Meant(cell.Text, known)
		found = found || meant
	}
	if !found {
		s.Fail(cells[0].Start, "the first line does not name the columns", example)
		return false
	}
	for _, cell := range cells {
		name := strings.ToLower(strings.TrimSpace(cell.Text))
		if (name == "part" || name == "role") && !slices.Contains(known, name) {
			s.Fail(cell.Start, "this is a repertoire of pieces, not a bank",
				"give it where a file of that kind is asked for")
			return false
		}
	}
	for _, cell := range cells {
		name := strings.TrimSpace(cell.Text)
		key, meant := vocabulary.Meant(name, known)
		switch {
		case name == "":
		case !meant:
			s.Fail(cell.Start,
				fmt.Sprintf("there is no column %q in this kind of file", textfile.Short(name)),
				"name it one of "+strings.Join(vocabulary.ForPeople(known), ", ")+", or take it out")
		case !strings.EqualFold(key, name):
			s.Fail(cell.Start,
				fmt.Sprintf("there is no column %q in this kind of file", textfile.Short(name)),
				"write "+key)
		case slices.Contains(sh.Columns, key):
			s.Fail(cell.Start, fmt.Sprintf("there are two columns %q", key), "take one of them out")
			key = ""
		}
		sh.Columns = append(sh.Columns, key)
	}
	ok := true
	required := []string{"id", "meter", "rhythm"}
	if slices.Contains(known, "role") {
		required = []string{
			"id",
			"meter",
			"role",
			"rhythm",
		} // without it a bank would pass for a repertoire
	}
	for _, key := range required {
		if !slices.Contains(sh.Columns, key) {
			s.Fail(cells[0].Start, fmt.Sprintf("there is no column %q", key), example)
			ok = false
		}
	}
	return ok
}
