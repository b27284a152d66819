package view

import (
	"slices"
	"strings"

	"clapladder.example/assess/view/internal/wording"
)

// Column is the head of a column.
type Column struct {
	Title string // may be empty
	Right bool   // the text stands on the right
	Wrap  bool   // the column gives way where the table is wider than the style, the widest such column first
	Spare bool   // the column is left out where that is not enough, the last such column first
}

// Table is text in columns, aligned by the width that characters take on a terminal.
type Table struct {
	Columns []Column   // from left to right
	Rows    [][]string // a row shorter than the columns is filled up; an empty row is an empty line
}

const (
	gap       = "  "
	leastWrap = 12 // columns that a wrapped column keeps
)

// Text draws the table for a style, each line ended by a line break. Titles are left out where no
// column has one.
func (t Table) Text(s Style) string {
	widths := t.widths(s.width())
	for t.without(widths, s.width()) {
		widths = t.widths(s.width())
	}
	var b strings.Builder
	titles := make([]string, len(t.Columns))
	titled := false
	for i, c := range t.Columns {
		titles[i] = c.Title
		titled = titled || c.Title != ""
	}
	if titled {
		for _, line := range t.lines(titles, widths) {
			b.WriteString(s.faint(line) + "\n")
		}
	}
	for _, row := range t.Rows {
		for _, line := range t.lines(row, widths) {
			b.WriteString(line + "\n")
		}
	}
	return b.String()
}

// without leaves out the last spare column of a table that is too wide, and reports whether it did.
func (t *Table) without(widths []int, line int) bool {
	total := len(gap) * (len(widths) - 1)
	for _, w := range widths {
		total += w
	}
	if total <= line {
		return false
	}
	for i := len(t.Columns) - 1; i >= 0; i-- {
		if !t.Columns[i].Spare {
			continue
		}
		t.Columns = slices.Delete(slices.Clone(t.Columns), i, i+1)
		t.Rows = slices.Clone(t.Rows)
		for k, row := range t.Rows {
			if i < len(row) {
				t.Rows[k] = slices.Delete(slices.Clone(row), i, i+1)
			}
		}
		return true
	}
	return false
}

// widths fits the columns to the text in them and, by the columns that wrap, to the line.
func (t Table) widths(line int) []int {
	widths := make([]int, len(t.Columns))
	total := len(gap) * (len(t.Columns) - 1)
	for i, c := range t.Columns {
		widths[i] = wording.Width(c.Title)
		for _, row := range t.Rows {
			if i < len(row) {
				widths[i] = max(widths[i], wording.Width(row[i]))
			}
		}
		total += widths[i]
	}
	for ; total > line; total-- {
		widest := -1
		for i, c := range t.Columns {
			if c.Wrap && widths[i] > leastWrap && (widest < 0 || widths[i] > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		widths[widest]--
	}
	return widths
}

// lines draws one row, in several lines where a cell is wrapped.
func (t Table) lines(row []string, widths []int) []string {
	cells := make([][]string, len(t.Columns))
	height := 1
	for i := range t.Columns {
		text := ""
		if i < len(row) {
			text = row[i]
		}
		cells[i] = []string{text}
		if wording.Width(text) > widths[i] {
			cells[i] = wording.Wrap(text, widths[i])
		}
		height = max(height, len(cells[i]))
	}
	lines := make([]string, height)
	for k := range lines {
		var b strings.Builder
		for i, c := range t.Columns {
			text := ""
			if k < len(cells[i]) {
				text = cells[i][k]
			}
			if i > 0 {
				b.WriteString(gap)
			}
			if c.Right {
				b.WriteString(wording.PadLeft(text, widths[i]))
			} else {
				b.WriteString(wording.Pad(text, widths[i]))
			}
		}
		lines[k] = strings.TrimRight(b.String(), " ")
	}
	return lines
}
