package main

import (
	"io"

	"clapladder.example/assess/view"
)

// Commands write through these; a full disk shows when run flushes.

func (a *app) out(text string)   { io.WriteString(a.stdout, text) }
func (a *app) print(line string) { a.out(line + "\n") }

// para writes text under a hanging indent.
func (a *app) para(head, text string) {
	for _, line := range a.style.Para(head, text) {
		a.print(line)
	}
}

func (a *app) heading(text string) {
	a.print("")
	a.print(a.style.Bold(text))
}

// wide is the style of tables with a row for each of many things: in a file or a pipe every row
// stays on its line, for other programs to search.
func (a *app) wide() view.Style {
	s := a.style
	if s.Width == 0 {
		s.Width = 1000
	}
	return s
}

func (a *app) dash() string {
	if a.style.Unicode {
		return "–"
	}
	return "-"
}
