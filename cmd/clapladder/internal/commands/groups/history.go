package groups

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/internal/history"
	"clapladder.example/patterns/difficulty"
)

// History is the command about the log of groups.
type History struct {
	Show    showCommand    `cmd:"" help:"List the groups, or the warm-ups of one group."`
	Trend   trendCommand   `cmd:"" help:"Show whether a group moves up."`
	Outcome outcomeCommand `cmd:"" help:"Say how the opener went, so that chances come true."`
	Note    noteCommand    `cmd:"" help:"Write a note about a group."`
	Remove  removeCommand  `cmd:"" help:"Take a warm-up out of the log."`
	Undo    undoCommand    `cmd:"" help:"Take back the last thing that was saved, noted or removed."`
	Redo    redoCommand    `cmd:"" help:"Bring back what undo took."`
	Export  exportCommand  `cmd:"" help:"Write the log as CSV, a row for each round."`
	Forget  forgetCommand  `cmd:"" help:"Remove everything about a group for good."`
}

// Help is shown below the summary.
func (*History) Help() string {
	return `The log grows by score and tally with --save GROUP. It holds no sound.

Examples:

    clapladder score warm-up.wav --save 'lunch hour'
    clapladder history show
    clapladder history trend 'lunch hour'`
}

type showCommand struct {
	Group string `arg:"" optional:"" offer:"group" help:"Group to list. Default: all groups."`
	logbook.Log
	JSON bool `help:"Write JSON."`
}

// Help is shown below the summary.
func (*showCommand) Help() string {
	return `The log holds the label that you gave a group, dates, phrases, shares and estimates:
no sound, and no names unless you write one. Labels should not be people's names.

Examples:

    clapladder history show
    clapladder history show 'lunch hour'`
}

func (c *showCommand) Run(con *console.Console) error {
	_, contents, err := c.Contents(con)
	if err != nil {
		return err
	}
	records := contents.Records
	if c.Group != "" {
		if records, err = logbook.OfGroup(records, c.Group); err != nil {
			return err
		}
	}
	if c.JSON {
		return view.JSON(con.Stdout, append([]history.Record{}, records...))
	}
	switch {
	case len(records) == 0:
		con.Para("", "The history is empty. Add to it with: "+naming.Program+" score RECORDING --save GROUP")
	case c.Group != "":
		return c.group(con, records, contents)
	default:
		con.Out(groupTable(history.Groups(records)).Text(con.Style))
		reliability(con, contents.Outcomes)
	}
	return nil
}

// group shows everything about one group. Levels are those of its trend.
func (c *showCommand) group(con *console.Console, records []history.Record,
	contents *history.Contents,
) error {
	bank, err := con.Bank("")
	if err != nil {
		return err
	}
	trend, err := history.NewTrend(records, c.Group, history.NewScale(difficulty.DefaultModel(), bank))
	if err != nil {
		return fmt.Errorf("estimating the trend: %w", err)
	}
	con.Out(warmUps(records, trend).Text(con.Style))
	lines := memories(contents, c.Group)
	if len(lines) > 0 {
		con.Heading("Notes and openers")
	}
	for _, line := range lines {
		con.Para("", con.Style.Plain(line))
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
			row[2] = console.Decimal(p.Level, 1)
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

type exportCommand struct {
	Group string `arg:"" optional:"" offer:"group" help:"Group to write. Default: all groups."`
	logbook.Log
}

// Help is shown below the summary.
func (*exportCommand) Help() string {
	return `Examples:

    clapladder history export > warm-ups.csv
    clapladder history export 'lunch hour'`
}

func (c *exportCommand) Run(con *console.Console) error {
	records, err := c.RecordsOf(con, c.Group)
	if err != nil {
		return err
	}
	return history.Export(con.Stdout, records)
}
