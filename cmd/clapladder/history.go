package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"clapladder.example/assess/history"
	"clapladder.example/assess/view"
	"clapladder.example/patterns"
)

// logging is the part of the command line that says which log is meant.
type logging struct {
	History string `placeholder:"FILE" help:"The log. Default: history.jsonl in the folder for your data."`
}

// open finds the log.
func (l logging) open() (*history.Log, error) {
	path := l.History
	if path == "" {
		var err error
		if path, err = history.DefaultPath(); err != nil {
			return nil, fmt.Errorf("finding the history: %w; name one with --history FILE", err)
		}
	}
	return history.Open(path), nil
}

// path is where the log is; empty where that can't be known.
func (l logging) path() string {
	log, err := l.open()
	if err != nil {
		return ""
	}
	return log.Path()
}

// records reads the log and says on standard error which lines can't be used.
func (l logging) records(a *app) (*history.Log, []history.Record, error) {
	log, err := l.open()
	if err != nil {
		return nil, nil, err
	}
	contents, err := log.Read(a.ctx)
	if err != nil && a.ctx.Err() == nil {
		return nil, nil, &inputError{log.Path(), plainError(err)}
	}
	if err != nil {
		return nil, nil, err
	}
	for _, p := range contents.Problems {
		a.note(fmt.Sprintf("%s: %s", log.Path(), p))
	}
	return log, contents.Records, nil
}

// recordsOf reads the records of a group, of all groups where it is empty.
func (l logging) recordsOf(a *app, group string) ([]history.Record, error) {
	_, records, err := l.records(a)
	if err != nil || group == "" {
		return records, err
	}
	return ofGroup(records, group)
}

// historyError says which file an error is about, once.
func historyError(log *history.Log, err error) error {
	if record, ok := errors.AsType[*history.RecordError](err); ok {
		return wrongUsage("%v", record)
	}
	if strings.Contains(err.Error(), log.Path()) {
		return err
	}
	return fmt.Errorf("%s: %w", log.Path(), err)
}

// ofGroup returns the records of a group, or says which groups there are.
func ofGroup(records []history.Record, group string) ([]history.Record, error) {
	found := history.Of(records, group)
	if len(found) > 0 {
		return found, nil
	}
	var labels []string
	for _, g := range history.Groups(records) {
		labels = append(labels, g.Label)
	}
	return nil, wrongUsage("the history has no group %q%s", group, didYouMean(group, labels))
}

type historyCommand struct {
	Show   historyShow   `cmd:"" help:"List the groups, or the warm-ups of one group."`
	Trend  historyTrend  `cmd:"" help:"Show whether a group moves up."`
	Export historyExport `cmd:"" help:"Write the log as CSV, a row for each round."`
	Forget historyForget `cmd:"" help:"Remove everything about a group."`
}

// Help is shown below the summary.
func (*historyCommand) Help() string {
	return `The log grows by --save of score and tally. It holds no sound.

Examples:

    clapladder score warm-up.wav --save 'lunch hour'
    clapladder history show
    clapladder history trend 'lunch hour'`
}

type historyShow struct {
	Group string `arg:"" optional:"" help:"Group to list. Default: all groups."`
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

type historyTrend struct {
	Group string `arg:"" help:"Group to look at."`
	Bank  string `short:"b" placeholder:"FILE" help:"Bank whose difficulties count. Default: the starter bank."`
	SVG   string `name:"svg" placeholder:"FILE" help:"Write a picture; - for standard output."`
	logging
	JSON bool `help:"Write JSON."`
}

// Help is shown below the summary.
func (*historyTrend) Help() string {
	return `The level at each date is estimated again from the shares in the log and the difficulties as they are now, so that a change of the bank does not look like progress.

Examples:

    clapladder history trend 'lunch hour'
    clapladder history trend 'lunch hour' --bank my-bank.toml --svg trend.svg`
}

func (c *historyTrend) Run(a *app) error {
	if c.SVG == standard && c.JSON {
		return wrongUsage("--json and --svg - both write to standard output; name a file for the picture")
	}
	_, records, err := c.records(a)
	if err != nil {
		return err
	}
	if records, err = ofGroup(records, c.Group); err != nil {
		return err
	}
	bank, err := a.bank(c.Bank)
	if err != nil {
		return err
	}
	trend, err := history.NewTrend(records, c.Group, history.NewScale(patterns.DefaultModel(), bank))
	if err != nil {
		return fmt.Errorf("estimating the trend: %w", err)
	}
	points := make([]view.LevelPoint, len(trend.Points))
	for i, p := range trend.Points {
		points[i] = view.LevelPoint{Date: p.Date, Level: p.Level, Low: p.Low, High: p.High}
	}
	svg := func(w io.Writer) error { return view.TrendSVG(w, records[len(records)-1].Group, points, 720) }
	if err := a.writeTarget(target{c.SVG, svg}, c.Bank, c.path()); err != nil || c.SVG == standard {
		return err
	}
	if c.JSON {
		return view.JSON(a.stdout, newTrendJSON(trend))
	}
	c.text(a, trend)
	return nil
}

func (c *historyTrend) text(a *app, trend *history.Trend) {
	a.para("", view.Sentence(trend.Text))
	if a.style.Unicode && len(trend.Points) > 1 {
		a.print("\n" + trend.Sparkline() + "\n")
	} else {
		a.print("")
	}
	table := view.Table{Columns: []view.Column{{Title: "DATE"}, {Title: "LEVEL", Align: view.Right}, {Title: "90 %"}, {Title: "ROUNDS", Align: view.Right}}}
	for _, p := range trend.Points {
		table.Rows = append(table.Rows, []string{
			p.Date.Format("2006-01-02"), decimal(p.Level, 1), decimal(p.Low, 1) + " to " + decimal(p.High, 1), strconv.Itoa(p.Rounds),
		})
	}
	a.out(table.Text(a.style))
	if trend.Skipped > 0 {
		a.para("", plural(trend.Skipped, "warm-up")+" with too few rounds left out.")
	}
}

// trendJSON is a trend as programs read it.
type trendJSON struct {
	Group     string           `json:"group"`
	Direction string           `json:"direction"`
	Chance    float64          `json:"chance"`
	Change    float64          `json:"change"`
	ChangeSD  float64          `json:"change_sd"`
	Text      string           `json:"text"`
	Skipped   int              `json:"skipped"`
	Points    []trendPointJSON `json:"points"`
}

type trendPointJSON struct {
	Date   string  `json:"date"`
	Level  float64 `json:"level"`
	SD     float64 `json:"level_sd"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	Rounds int     `json:"rounds"`
}

func newTrendJSON(t *history.Trend) trendJSON {
	out := trendJSON{t.Group, string(t.Direction), t.Chance, t.Change, t.ChangeSD, t.Text, t.Skipped, []trendPointJSON{}}
	for _, p := range t.Points {
		out.Points = append(out.Points, trendPointJSON{p.Date.Format("2006-01-02T15:04:05Z07:00"), p.Level, p.SD, p.Low, p.High, p.Rounds})
	}
	return out
}

type historyExport struct {
	Group string `arg:"" optional:"" help:"Group to write. Default: all groups."`
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
	Group string `arg:"" help:"Group to remove."`
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
	text := fmt.Sprintf("Removed %s of %s.", plural(gone.Records, "warm-up"), c.Group)
	if gone.Damaged > 0 {
		text += fmt.Sprintf(" %s went with them.", plural(gone.Damaged, "damaged line"))
	}
	if gone.Kept > 0 {
		text += fmt.Sprintf(" %s of a newer version could not be read and stayed.", plural(gone.Kept, "line"))
	}
	a.para("", text)
	return nil
}
