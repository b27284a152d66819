package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"clapladder.example/assess"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/cmd/clapladder/internal/helptext"
)

// reporting is the part of the command line that says where a report goes.
type reporting struct {
	HTML  string `name:"html" placeholder:"FILE" help:"${reporting_html}"`
	Title string `placeholder:"TEXT" help:"${reporting_title}"`
	Open  bool   `help:"Show the page in the browser once it is written."`
	JSON  bool   `help:"Write the report as JSON."`
}

var reportingHelp = helptext.Texts{
	"reporting_html": "Write the report as a page too, to look at, print or pass on; it needs " +
		"no network.",
	"reporting_title": "Title of the page, such as the group and the day; no names of people.",
}

// check refuses what does not go together.
func (o reporting) check() error {
	if (o.Title != "" || o.Open) && (o.HTML == "" || o.Open && o.HTML == standard) {
		return wrongUsage("--title and --open are about the page; add --html FILE")
	}
	if o.HTML == standard && o.JSON {
		return wrongUsage("--json and --html - both write to standard output; name a file for the page")
	}
	return nil
}

// checkInputs refuses to write over files that were read.
func (o reporting) checkInputs(inputs ...string) error {
	if o.HTML == "" || o.HTML == standard {
		return nil
	}
	return checkOverwrite(o.HTML, inputs)
}

// show writes a report as the command line asks. inputs are files that were read and must not be
// overwritten.
func (o reporting) show(a *app, report *assess.Report, date string, inputs ...string) error {
	html := func(w io.Writer) error { return view.HTML(w, report, view.Page{Title: o.Title, Date: date}) }
	if err := a.writeTarget(target{o.HTML, html}, inputs...); err != nil || o.HTML == standard {
		return err
	}
	if o.JSON {
		return view.JSON(a.stdout, report)
	}
	return view.Text(a.stdout, report, a.style)
}

// finish saves a report where that is asked for and then shows it: whoever reads may stop before
// the end, and nothing that was saved hangs on that.
func (o reporting) finish(a *app, report *assess.Report, what saved, keep saving, inputs []string) error {
	if err := o.checkInputs(inputs...); err != nil {
		return err
	}
	err := keep.append(a, report, what)
	if _, twice := errors.AsType[*savedTwiceError](err); err != nil && !twice {
		return err
	}
	date := ""
	if at, _, dateErr := keep.when(what.from); dateErr == nil {
		date = at.Local().Format("2 January 2006")
	}
	if showErr := o.show(a, report, date, inputs...); showErr != nil || err != nil {
		return errors.Join(showErr, err)
	}
	if o.Open {
		return a.openPage(o.HTML)
	}
	return nil
}

// target is a result that the command line may ask for.
type target struct {
	path string // a file, [standard], or empty where it is not asked for
	fill func(io.Writer) error
}

// writeTarget writes a result to its file or to standard output. inputs are files that must not be
// overwritten.
func (a *app) writeTarget(t target, inputs ...string) error {
	switch t.path {
	case "":
		return nil
	case standard:
		return t.fill(a.stdout)
	}
	return a.writeFile(t.path, inputs, t.fill)
}

// writePages writes what is asked for and opens the page where it is to be looked at.
func (a *app) writePages(targets []target, open bool, page string, inputs ...string) error {
	for _, t := range targets {
		if err := a.writeTarget(t, inputs...); err != nil {
			return err
		}
	}
	if !open {
		return nil
	}
	return a.openPage(page)
}

// writeFile writes a result to a file and says so on standard error. An older result is replaced,
// an input is not.
func (a *app) writeFile(path string, inputs []string, fill func(io.Writer) error) error {
	if err := checkOverwrite(path, inputs); err != nil {
		return err
	}
	if err := atomicfile.Write(path, atomicfile.Replace, fill); err != nil {
		return err
	}
	a.note("wrote " + path)
	return nil
}

func checkOverwrite(path string, inputs []string) error {
	info, err := os.Stat(path)
	if err != nil {
		return nil
	}
	for _, input := range inputs {
		if other, err := os.Stat(input); err == nil && os.SameFile(info, other) {
			return wrongUsage("%s is read by this command; write to another file", path)
		}
	}
	return nil
}

// note says something on standard error that is no problem.
func (a *app) note(text string) {
	if !a.quiet {
		fmt.Fprintf(a.stderr, "%s: %s\n", name, harmless(text))
	}
}
