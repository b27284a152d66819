package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/internal/history"
	"clapladder.example/patterns/difficulty"
)

type historyCommand struct {
	Show    historyShow    `cmd:"" help:"List the groups, or the warm-ups of one group."`
	Trend   historyTrend   `cmd:"" help:"Show whether a group moves up."`
	Outcome historyOutcome `cmd:"" help:"Say how the opener went, so that chances come true."`
	Note    historyNote    `cmd:"" help:"Write a note about a group."`
	Remove  historyRemove  `cmd:"" help:"Take a warm-up out of the log."`
	Undo    historyUndo    `cmd:"" help:"Take back the last thing that was saved, noted or removed."`
	Redo    historyRedo    `cmd:"" help:"Bring back what undo took."`
	Export  historyExport  `cmd:"" help:"Write the log as CSV, a row for each round."`
	Forget  historyForget  `cmd:"" help:"Remove everything about a group for good."`
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
	return `The log holds the label that you gave a group, dates, phrases, shares and estimates:
no sound, and no names unless you write one. Labels should not be people's names.

Examples:

    clapladder history show
    clapladder history show 'lunch hour'`
}

func (c *historyShow) Run(a *app) error {
	_, contents, err := c.contents(a)
	if err != nil {
		return err
	}
	records := contents.Records
	if c.Group != "" {
		if records, err = ofGroup(records, c.Group); err != nil {
			return err
		}
	}
	if c.JSON {
		return view.JSON(a.stdout, append([]history.Record{}, records...))
	}
	switch {
	case len(records) == 0:
		a.para("", "The history is empty. Add to it with: "+name+" score RECORDING --save GROUP")
	case c.Group != "":
		return c.group(a, records, contents)
	default:
		a.out(groupTable(history.Groups(records)).Text(a.style))
		reliability(a, contents.Outcomes)
	}
	return nil
}

// group shows everything about one group. Levels are those of its trend.
func (c *historyShow) group(a *app, records []history.Record, contents *history.Contents) error {
	bank, err := a.bank("")
	if err != nil {
		return err
	}
	trend, err := history.NewTrend(records, c.Group, history.NewScale(difficulty.DefaultModel(), bank))
	if err != nil {
		return fmt.Errorf("estimating the trend: %w", err)
	}
	a.out(warmUps(records, trend).Text(a.style))
	lines := memories(contents, c.Group)
	if len(lines) > 0 {
		a.heading("Notes and openers")
	}
	for _, line := range lines {
		a.para("", a.style.Plain(line))
	}
	return nil
}

// memories are the notes of a group and how its openers went, by date.
func memories(contents *history.Contents, group string) []string {
	type memory struct {
		at   time.Time
		text string
	}
	var list []memory
	for _, n := range contents.Notes {
		if history.SameGroup(n.Group, group) {
			list = append(list, memory{n.Date, n.Text})
		}
	}
	for _, o := range contents.Outcomes {
		if history.SameGroup(o.Group, group) {
			text := o.Piece + " " + heardWords[o.Heard]
			if o.Chance != nil {
				text += ", chance was " + view.Chance(*o.Chance)
			}
			list = append(list, memory{o.Date, text})
		}
	}
	slices.SortStableFunc(list, func(x, y memory) int { return x.at.Compare(y.at) })
	var out []string
	for _, m := range list {
		out = append(out, m.at.Local().Format(time.DateOnly)+"  "+m.text)
	}
	return out
}

func groupTable(groups []history.Group) view.Table {
	t := view.Table{Columns: []view.Column{
		{Title: "GROUP", Wrap: true},
		{Title: "WARM-UPS", Right: true},
		{Title: "FIRST"},
		{Title: "LAST"},
	}}
	for _, g := range groups {
		t.Rows = append(t.Rows, []string{
			g.Label, strconv.Itoa(g.WarmUps),
			g.First.Format("2006-01-02"), g.Last.Format("2006-01-02"),
		})
	}
	return t
}

// warmUps lists the warm-ups of a group by date.
func warmUps(records []history.Record, trend *history.Trend) view.Table {
	records = slices.Clone(records)
	slices.SortStableFunc(records, func(x, y history.Record) int { return x.Date.Compare(y.Date) })
	levels := map[int]history.Point{} // by line, which is a warm-up's own
	for _, p := range trend.Points {
		levels[p.Line] = p
	}
	t := view.Table{Columns: []view.Column{
		{Title: "DATE"},
		{Title: "TIER", Right: true},
		{Title: "LEVEL", Right: true},
		{Title: "MIX"},
		{Title: "ROUNDS", Right: true, Spare: true},
		{Title: "CALLS", Wrap: true},
	}}
	for _, r := range records {
		row := []string{r.Date.Format("2006-01-02 15:04"), "", "", "", strconv.Itoa(len(r.Rounds)), calls(r)}
		if p, ok := levels[r.Line]; ok {
			row[2] = decimal(p.Level, 1)
		}
		if e := r.Estimate; e != nil {
			row[3] = e.Mix
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
