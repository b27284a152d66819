package main

import (
	"fmt"
	"io"
	"strconv"

	"clapladder.example/assess/history"
	"clapladder.example/assess/view"
	"clapladder.example/patterns/difficulty"
)

type historyTrend struct {
	Group string `arg:"" offer:"group" help:"Group to look at."`
	Bank  string `short:"b" placeholder:"FILE" help:"Bank whose difficulties count. Default: the bank in your settings, else the starter bank."`
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
	trend, err := history.NewTrend(records, c.Group, history.NewScale(difficulty.DefaultModel(), bank))
	if err != nil {
		return fmt.Errorf("estimating the trend: %w", err)
	}
	points := make([]view.LevelPoint, len(trend.Points))
	for i, p := range trend.Points {
		points[i] = view.LevelPoint{Date: p.Date, Level: p.Level, Low: p.Low, High: p.High}
	}
	svg := func(w io.Writer) error { return view.TrendSVG(w, records[len(records)-1].Group, points, 720) }
	if err := a.writeTarget(target{c.SVG, svg}, c.Bank, c.path(a)); err != nil || c.SVG == standard {
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
		a.para("", view.Count(trend.Skipped, "warm-up")+" with too few rounds left out.")
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
