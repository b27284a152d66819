package bank

import (
	"fmt"
	"strings"

	"clapladder.example/patterns/internal/textfile"
)

// Problem is one thing to put right in a file.
type Problem struct {
	Line    int    // from 1; 0 where it concerns the whole file
	Column  int    // from 1, in characters; 0 where it concerns the whole file
	Message string // what is wrong
	Advice  string // what to write instead; may be empty
	Excerpt string // the line at fault, a line break and a caret below the place; may be empty
}

// sentence is what is wrong and what to write instead.
func (p Problem) sentence() string {
	if p.Advice == "" {
		return p.Message
	}
	return p.Message + "; " + p.Advice
}

// Detail is several lines for a terminal or a page: the place in the file of that name and what is
// wrong, the line at fault with a caret, and what to write instead. It ends with a line break.
func (p Problem) Detail(name string) string {
	var b strings.Builder
	b.WriteString(where(name, p) + p.Message + "\n")
	for line := range strings.Lines(p.Excerpt) {
		b.WriteString("    " + strings.TrimRight(line, "\n") + "\n")
	}
	if p.Advice != "" {
		b.WriteString("  " + p.Advice + "\n")
	}
	return b.String()
}

// FileError is a file that can't be used, with everything that was found wrong in it, in the order
// of the file. There is at least one problem, and at most 1000; a last one then says that there are
// more.
type FileError struct {
	Name     string    // as given to the loader; may be empty
	Problems []Problem // in the order of the file
}

// Error is one line: the first problem with its place and advice, and how many others there are.
func (e *FileError) Error() string {
	text := where(e.Name, e.Problems[0]) + e.Problems[0].sentence()
	switch more := len(e.Problems) - 1; {
	case more == 1:
		text += " (1 more problem)"
	case more > 1:
		text += fmt.Sprintf(" (%d more problems)", more)
	}
	return text
}

// where is "bank.toml, line 3, column 7: ", without what isn't known.
func where(name string, p Problem) string {
	place := name
	if p.Line > 0 {
		place = fmt.Sprintf("line %d, column %d", p.Line, p.Column)
		if name != "" {
			place = name + ", " + place
		}
	}
	if place == "" {
		return ""
	}
	return place + ": "
}

// fileError is nil where nothing is wrong with the text.
func fileError(s *textfile.Source) error {
	if s.Clean() {
		return nil
	}
	return &FileError{Name: s.Name, Problems: shown(s.Problems())}
}

// shown is what was found in a text, as callers see it.
func shown(found []textfile.Problem) []Problem {
	var problems []Problem
	for _, p := range found {
		problems = append(problems, Problem(p))
	}
	return problems
}
