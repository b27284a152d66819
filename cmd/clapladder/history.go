package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"clapladder.example/assess/history"
	"clapladder.example/assess/view"
)

type historyCommand struct {
	Show   historyShow   `cmd:"" help:"List the groups, or the warm-ups of one group."`
	Trend  historyTrend  `cmd:"" help:"Show whether a group moves up."`
	Export historyExport `cmd:"" help:"Write the log as CSV, a row for each round."`
	Forget historyForget `cmd:"" help:"Remove everything about a group."`
}

// Help is shown below the summary.
func (*historyCommand) Help() string {
	return `The log grows by score and tally with --save GROUP. It holds no sound.

Examples:

    clapladder score warm-up.wav --save 'lunch hour'
    clapladder history show
    clapladder history trend 'lunch hour'`
}

type historyShow struct {
	Group string `arg:"" optional:"" offer:"group" help:"Group to list. Default: all groups."`
	logging
	JSON bool `help:"Write JSON."`
}

// Help is shown below the summary.
func (*historyShow) Help() string {
	return `The log holds the label that you gave a group, dates, phrases, shares and estimates: no sound, and no names unless you write one. Labels should not be people's names.

Examples:

    clapladder history show
    clapladder history show 'lunch hour'`
}

func (c *historyShow) Run(a *app) error {
	records, err := c.recordsOf(a, c.Group)
	if err != nil {
		return err
	}
	if c.JSON {
		return view.JSON(a.stdout, append([]history.Record{}, records...))
	}
	switch {
	case len(records) == 0:
		a.para("", "The history is empty. Add to it with: "+name+" score RECORDING --save GROUP")
	case c.Group != "":
		a.out(warmUps(records).Text(a.style))
	default:
		a.out(groupTable(history.Groups(records)).Text(a.style))
	}
	return nil
}

func groupTable(groups []history.Group) view.Table {
	t := view.Table{Columns: []view.Column{{Title: "GROUP", Wrap: true}, {Title: "WARM-UPS", Align: view.Right}, {Title: "FIRST"}, {Title: "LAST"}}}
	for _, g := range groups {
		t.Rows = append(t.Rows, []string{g.Label, strconv.Itoa(g.WarmUps), g.First.Format("2006-01-02"), g.Last.Format("2006-01-02")})
	}
	return t
}

// warmUps lists the warm-ups of a group by date.
func warmUps(records []history.Record) view.Table {
	records = slices.Clone(records)
	slices.SortStableFunc(records, func(x, y history.Record) int { return x.Date.Compare(y.Date) })
	t := view.Table{Columns: []view.Column{
		{Title: "DATE"}, {Title: "TIER", Align: view.Right}, {Title: "LEVEL", Align: view.Right}, {Title: "MIX"}, {Title: "ROUNDS", Align: view.Right, Spare: true}, {Title: "CALLS", Wrap: true},
	}}
	for _, r := range records {
		row := []string{r.Date.Format("2006-01-02 15:04"), "", "", "", strconv.Itoa(len(r.Rounds)), calls(r)}
		if e := r.Estimate; e != nil {
			row[2], row[3] = decimal(e.Ability, 1), e.Mix
			if e.Tier != nil {
				row[1] = strconv.Itoa(*e.Tier)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// calls lists what was called.
func calls(r history.Record) string {
	var out []string
	for _, round := range r.Rounds {
		if round.Phrase != nil {
			out = append(out, *round.Phrase)
		} else {
			out = append(out, "("+round.Notation+")")
		}
	}
	return strings.Join(out, ", ")
}

type historyExport struct {
	Group string `arg:"" optional:"" offer:"group" help:"Group to write. Default: all groups."`
	logging
}

// Help is shown below the summary.
func (*historyExport) Help() string {
	return `Examples:

    clapladder history export > warm-ups.csv
    clapladder history export 'lunch hour'`
}

func (c *historyExport) Run(a *app) error {
	records, err := c.recordsOf(a, c.Group)
	if err != nil {
		return err
	}
	return history.Export(a.stdout, records)
}

type historyForget struct {
	Group string `arg:"" offer:"group" help:"Group to remove."`
	logging
}

// Help is shown below the summary.
func (*historyForget) Help() string {
	return `The log is written anew without the group. What backups keep is out of reach.

Examples:

    clapladder history forget 'lunch hour'`
}

func (c *historyForget) Run(a *app) error {
	log, records, err := c.records(a)
	if err != nil {
		return err
	}
	if _, err := ofGroup(records, c.Group); err != nil {
		return err
	}
	gone, err := log.Forget(a.ctx, c.Group)
	if err != nil {
		return historyError(log, err)
	}
	text := fmt.Sprintf("Removed %s of %s.", view.Count(gone.Records, "warm-up"), c.Group)
	if gone.Damaged > 0 {
		text += fmt.Sprintf(" %s went with them.", view.Count(gone.Damaged, "damaged line"))
	}
	if gone.Kept > 0 {
		text += fmt.Sprintf(" %s of a newer version could not be read and stayed.", view.Count(gone.Kept, "line"))
	}
	a.para("", text)
	return nil
}
