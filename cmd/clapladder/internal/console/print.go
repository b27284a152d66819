package console

import (
	"fmt"
	"io"
	"strconv"

	"clapladder.example/assess"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/naming"
)

// Commands write through these; a full disk shows when run flushes.

// Out writes text as it is, Print a line.
func (con *Console) Out(text string)   { io.WriteString(con.Stdout, text) }
func (con *Console) Print(line string) { con.Out(line + "\n") }

// Para writes text under a hanging indent.
func (con *Console) Para(head, text string) {
	for _, line := range con.Style.Para(head, text) {
		con.Print(line)
	}
}

// Heading writes a title with an empty line before it.
func (con *Console) Heading(text string) {
	con.Print("")
	con.Print(con.Style.Bold(text))
}

// Wide is the style of tables with a row for each of many things: in a file or a pipe every row
// stays on its line, for other programs to search.
func (con *Console) Wide() view.Style {
	s := con.Style
	if s.Width == 0 {
		s.Width = 1000
	}
	return s
}

// Dash stands for what there is none of.
func (con *Console) Dash() string {
	if con.Style.Unicode {
		return "–"
	}
	return "-"
}

// Note says something on standard error that is no problem.
func (con *Console) Note(text string) {
	if !con.Quiet {
		fmt.Fprintf(con.Stderr, "%s: %s\n", naming.Program, naming.Harmless(text))
	}
}

// Warn passes on what is to be known about a recording.
func (con *Console) Warn(warnings []assess.Warning) {
	for _, w := range warnings {
		con.Note(w.Text)
	}
}

// Decimal writes a number with a fixed number of places.
func Decimal(x float64, places int) string { return strconv.FormatFloat(x, 'f', places, 64) }
