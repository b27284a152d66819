package listen

import (
	"errors"
	"io"

	"clapladder.example/assess"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/flagcheck"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/naming"
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
	if err := flagcheck.Page(o.HTML, o.Title, o.Open); err != nil {
		return err
	}
	if o.HTML == naming.Standard && o.JSON {
		return fault.Usage("--json and --html - both write to standard output; name a file for the page")
	}
	return nil
}

// checkInputs refuses to write over files that were read.
func (o reporting) checkInputs(inputs ...string) error {
	if o.HTML == "" || o.HTML == naming.Standard {
		return nil
	}
	return console.CheckOverwrite(o.HTML, inputs)
}

// show writes a report as the command line asks. inputs are files that were read and must not be
// overwritten.
func (o reporting) show(con *console.Console, report *assess.Report, date string, inputs ...string) error {
	html := func(w io.Writer) error { return view.HTML(w, report, view.Page{Title: o.Title, Date: date}) }
	err := con.WriteTarget(console.Target{Path: o.HTML, Fill: html}, inputs...)
	if err != nil || o.HTML == naming.Standard {
		return err
	}
	if o.JSON {
		return view.JSON(con.Stdout, report)
	}
	return view.Text(con.Stdout, report, con.Style)
}

// finish saves a report where that is asked for and then shows it: whoever reads may stop before
// the end, and nothing that was saved hangs on that.
func (o reporting) finish(con *console.Console, report *assess.Report, what logbook.Details,
	keep *logbook.Saving, inputs []string,
) error {
	if err := o.checkInputs(inputs...); err != nil {
		return err
	}
	err := keep.Append(con, report, what)
	if _, twice := errors.AsType[*logbook.TwiceError](err); err != nil && !twice {
		return err
	}
	date := ""
	if at, _, dateErr := keep.When(what.From); dateErr == nil {
		date = at.Local().Format("2 January 2006")
	}
	if showErr := o.show(con, report, date, inputs...); showErr != nil || err != nil {
		return errors.Join(showErr, err)
	}
	if o.Open {
		return con.OpenPage(o.HTML)
	}
	return nil
}
