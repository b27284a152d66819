package phrases

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns/bank"
)

// Check is the command that lists what is wrong with files.
type Check struct {
	Files []string `arg:"" help:"Banks or repertoires, TOML or CSV; - for standard input."`
	As    string   `enum:"auto,bank,repertoire" default:"auto" help:"${check_as}"`
	JSON  bool     `help:"Write JSON: a list of files with their problems and remarks."`
}

var checkHelp = helptext.Texts{
	"check_as": "What the files are: auto, bank or repertoire.",
}

// Help is shown below the summary.
func (*Check) Help() string {
	return `Problems have to be put right before a file can be used. Remarks are about what is
allowed but may not be meant. The exit status is 3 where there is a problem.

Examples:

    clapladder check my-bank.toml
    clapladder check my-bank.toml my-pieces.toml
    clapladder check list.csv --as repertoire`
}

// checked is what was found in one file.
type checked struct {
	File     string           `json:"file"`
	Kind     string           `json:"kind"`
	Count    int              `json:"count"` // phrases or pieces; 0 where the file can't be used
	Problems []checkedProblem `json:"problems"`
	Remarks  []checkedProblem `json:"remarks"`

	problems, remarks []bank.Problem
}

type checkedProblem struct {
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Message string `json:"message"`
	Advice  string `json:"advice,omitempty"`
}

func (c *Check) Run(con *console.Console) error {
	var all []checked
	var bad error
	for _, path := range c.Files {
		data, err := con.ReadAll(path)
		if err != nil {
			return err
		}
		file := c.check(con.Loader(), naming.Display(path), data)
		if n := len(file.problems); n > 0 && bad == nil {
			bad = fault.BadInput(file.File, "%s to put right", view.Count(n, "problem"))
		}
		all = append(all, file)
	}
	if c.JSON {
		return errors.Join(view.JSON(con.Stdout, all), bad)
	}
	for i, file := range all {
		if i > 0 {
			fmt.Fprintln(con.Stdout)
		}
		file.print(con)
	}
	return bad
}

// check reads one file.
func (c *Check) check(loader bank.Loader, file string, data []byte) checked {
	kind := c.As
	if kind == "auto" {
		kind = "bank"
		if looksLikeRepertoire(data) {
			kind = "repertoire"
		}
	}
	out := checked{File: file, Kind: kind, Problems: []checkedProblem{}, Remarks: []checkedProblem{}}
	var err error
	if kind == "repertoire" {
		var r *bank.Repertoire
		if r, err = loader.Repertoire(file, data); err == nil {
			out.Count, out.remarks = len(r.Pieces), r.Remarks
		}
	} else {
		var b *bank.Bank
		if b, err = loader.Bank(file, data); err == nil {
			out.Count, out.remarks = len(b.Entries), b.Remarks
		}
	}
	if e, ok := errors.AsType[*bank.FileError](err); ok {
		out.problems = e.Problems
	} else if err != nil {
		out.problems = []bank.Problem{{Message: err.Error()}}
	}
	for _, p := range out.problems {
		out.Problems = append(out.Problems, checkedProblem{p.Line, p.Column, p.Message, p.Advice})
	}
	for _, p := range out.remarks {
		out.Remarks = append(out.Remarks, checkedProblem{p.Line, p.Column, p.Message, p.Advice})
	}
	return out
}

// pieceLine is a table head of TOML that only repertoires have, or a CSV head with a column that
// only they have.
var pieceLine = regexp.MustCompile(`(?i)^[ \t]*(\[+ *piece\b|` +
	`"?id"?[,;\t].*\b(part|role)\b|.*[,;\t]"?role"?\s*([,;\t]|$))`)

// looksLikeRepertoire reports whether any line of a file could only stand in a repertoire.
func looksLikeRepertoire(data []byte) bool {
	for line := range bytes.Lines(data) {
		if pieceLine.Match(bytes.TrimPrefix(bytes.TrimRight(line, "\r\n"), []byte("\xef\xbb\xbf"))) {
			return true
		}
	}
	return false
}

func (f checked) noun() string {
	if f.Kind == "repertoire" {
		return "piece"
	}
	return "phrase"
}

func (f checked) print(con *console.Console) {
	for i, p := range f.problems {
		if i > 0 {
			fmt.Fprintln(con.Stdout)
		}
		fmt.Fprint(con.Stdout, p.Detail(f.File))
	}
	for i, p := range f.remarks {
		if i > 0 {
			fmt.Fprintln(con.Stdout)
		}
		p.Message = "remark: " + p.Message
		fmt.Fprint(con.Stdout, p.Detail(f.File))
	}
	switch {
	case len(f.problems) > 0:
	case len(f.remarks) > 0:
		fmt.Fprintf(con.Stdout, "\n%s: %s, nothing to put right, %s\n", naming.Display(f.File),
			view.Count(f.Count, f.noun()), view.Count(len(f.remarks), "remark"))
	default:
		fmt.Fprintf(con.Stdout, "%s: %s, nothing to put right\n", naming.Display(f.File),
			view.Count(f.Count, f.noun()))
	}
}
