package groups

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/internal/history"
)

type removeCommand struct {
	Group string `arg:"" offer:"group" help:"Group."`
	Date  string `arg:"" help:"${history_remove_date}"`
	logbook.Log
}

var removeHelp = helptext.Texts{
	"history_remove_date": "Day of the warm-up, such as 2025-03-04; with a time, such as " +
		"2025-03-04T12:30, where there are several.",
}

// Help is shown below the summary.
func (*removeCommand) Help() string {
	return `The warm-up no longer counts; clapladder history undo brings it back. To remove
everything about a group for good there is clapladder history forget.

Examples:

    clapladder history remove 'lunch hour' 2025-03-04`
}

func (c *removeCommand) Run(con *console.Console) error {
	at, err := logbook.ParseDate("the date", c.Date)
	if err != nil {
		return err
	}
	log, _, records, err := c.WarmUps(con, c.Group)
	if err != nil {
		return err
	}
	var that []history.Record
	for _, r := range records {
		if logbook.Day(r.Date) == logbook.Day(at) && (len(c.Date) == len(time.DateOnly) ||
			r.Date.Truncate(time.Minute).Equal(at.Truncate(time.Minute))) {
			that = append(that, r)
		}
	}
	switch {
	case len(that) == 0:
		return fault.Usage("%s has no warm-up on %s; it has %s", records[0].Group,
			at.Format("2 January 2006"), dates(records))
	case len(that) > 1 && len(c.Date) == len(time.DateOnly):
		return fault.Usage("%s has %s that day; add the time, such as %s", records[0].Group,
			view.Count(len(that), "warm-up"), that[0].Date.Local().Format("2006-01-02T15:04"))
	}
	if err := log.Remove(con.Ctx, that, time.Now()); err != nil {
		return logbook.FileError(log, err)
	}
	con.Para("", fmt.Sprintf("Removed the warm-up of %s on %s. clapladder history undo brings it "+
		"back.", that[0].Group, that[0].Date.Local().Format("2 January 2006, 15:04")))
	return nil
}

// dates lists the latest dates of records.
func dates(records []history.Record) string {
	var out []string
	for i := len(records) - 1; i >= 0 && len(out) < 5; i-- {
		out = append(out, records[i].Date.Local().Format("2006-01-02T15:04"))
	}
	text := strings.Join(out, ", ")
	if len(records) > len(out) {
		text += " and earlier ones"
	}
	return text
}

type undoCommand struct{ logbook.Log }

// Help is shown below the summary.
func (*undoCommand) Help() string {
	return `Takes back the last warm-up that was saved, or the last note, outcome or removal;
again goes one step further back. Nothing is lost: clapladder history redo brings it back.

Examples:

    clapladder history undo`
}

func (c *undoCommand) Run(con *console.Console) error {
	return turn(con, &c.Log, (*history.Log).Undo, "Took back", "Brought back", "Nothing is left to take back.")
}

type redoCommand struct{ logbook.Log }

// Help is shown below the summary.
func (*redoCommand) Help() string {
	return `Examples:

    clapladder history redo`
}

func (c *redoCommand) Run(con *console.Console) error {
	return turn(con, &c.Log, (*history.Log).Redo, "Brought back", "Removed again", "Nothing was taken back.")
}

// turn takes a step and says which it was. Taking a removal back brings warm-ups back.
func turn(con *console.Console, l *logbook.Log,
	step func(*history.Log, context.Context, time.Time) (history.Change, error),
	done, opposite, nothing string,
) error {
	log, err := l.Find(con)
	if err != nil {
		return err
	}
	change, err := step(log, con.Ctx, time.Now())
	if errors.Is(err, history.ErrNothing) {
		con.Print(nothing)
		return nil
	}
	if err != nil {
		return logbook.FileError(log, err)
	}
	what := "the " + change.Kind + " of " + change.Group + " on " +
		change.Date.Local().Format("2 January 2006, 15:04")
	if change.Kind == "remove" {
		done, what = opposite, view.Count(change.WarmUps, "warm-up")+" of "+change.Group
	}
	con.Para("", done+" "+what+".")
	return nil
}

type noteCommand struct {
	Group string   `arg:"" offer:"group" help:"Group."`
	Text  []string `arg:"" help:"What to remember; no names of people."`
	Date  string   `placeholder:"DATE" help:"The day it is about. Default: today."`
	logbook.Log
}

// Help is shown below the summary.
func (*noteCommand) Help() string {
	return `Notes stand between the warm-ups in clapladder history show GROUP.

Examples:

    clapladder history note 'lunch hour' 'two new people, sat in a half circle'`
}

func (c *noteCommand) Run(con *console.Console) error {
	log, _, records, err := c.WarmUps(con, c.Group)
	if err != nil {
		return err
	}
	at, err := dateOrNow(c.Date)
	if err != nil {
		return err
	}
	text := history.CleanLabel(strings.Join(c.Text, " "))
	if err := log.AddNote(con.Ctx, history.Note{Group: records[0].Group, Date: at, Text: text}); err != nil {
		return logbook.FileError(log, err)
	}
	con.Note(fmt.Sprintf("noted for %q on %s", records[0].Group, at.Format("2 January 2006")))
	return nil
}

type forgetCommand struct {
	Group string `arg:"" offer:"group" help:"Group to remove."`
	Yes   bool   `short:"y" help:"Do not ask."`
	logbook.Log
}

// Help is shown below the summary.
func (*forgetCommand) Help() string {
	return `The log is written anew without the group, its notes, its outcomes and what was
taken back: nothing brings them back. On a terminal you are asked first. What backups keep is
out of reach.

Examples:

    clapladder history forget 'lunch hour'`
}

func (c *forgetCommand) Run(con *console.Console) error {
	log, records, err := c.Records(con)
	if err != nil {
		return err
	}
	own := history.Of(records, c.Group)
	if len(own) == 0 && len(records) > 0 { // what was taken back may be all there is
		if _, err := logbook.OfGroup(records, c.Group); err != nil && !c.Yes {
			return err
		}
	}
	if !c.Yes && !confirm(con, fmt.Sprintf("Forget %s of %s for good?",
		view.Count(len(own), "warm-up"), c.Group)) {
		con.Print("Nothing was removed.")
		return nil
	}
	gone, err := log.Forget(con.Ctx, c.Group)
	if err != nil {
		return logbook.FileError(log, err)
	}
	text := fmt.Sprintf("Removed %s of %s.", view.Count(gone.Records, "warm-up"), c.Group)
	if gone.Damaged > 0 {
		text += fmt.Sprintf(" %s went with them.", view.Count(gone.Damaged, "damaged line"))
	}
	if gone.Kept > 0 {
		text += fmt.Sprintf(" %s of a newer version could not be read and stayed.",
			view.Count(gone.Kept, "line"))
	}
	con.Para("", text)
	return nil
}

// confirm asks where a person sits at a terminal; elsewhere the command line is the answer.
func confirm(con *console.Console, question string) bool {
	if !con.Asks {
		return true
	}
	fmt.Fprintf(con.Stderr, "%s Write yes: ", question)
	line, _ := bufio.NewReader(con.Stdin).ReadString('\n')
	return strings.EqualFold(strings.TrimSpace(line), "yes")
}

// dateOrNow reads a date from the command line; without one it is now.
func dateOrNow(text string) (time.Time, error) {
	if text == "" {
		return time.Now(), nil
	}
	return logbook.ParseDate("--date", text)
}
