package groups

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/flagcheck"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/internal/history"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

type trendCommand struct {
	Group string `arg:"" offer:"group" help:"Group to look at."`
	Bank  string `short:"b" placeholder:"FILE" help:"Bank whose difficulties count. ${your_bank}"`
	SVG   string `name:"svg" placeholder:"FILE" help:"Write a picture; - for standard output."`
	HTML  string `name:"html" placeholder:"FILE" help:"${history_trend_html}"`
	Title string `placeholder:"TEXT" help:"Title of the page; no names of people."`
	Open  bool   `help:"Show the page in the browser once it is written."`
	logbook.Log
	JSON bool `help:"Write JSON."`
}

var trendHelp = helptext.Texts{
	"history_trend_html": "Write a page to look at, print or give to a client; - for standard " +
		"output.",
}

// Help is shown below the summary.
func (*trendCommand) Help() string {
	return `The level at each date is estimated again from the shares in the log and the
difficulties as they are now, so that a change of the bank does not look like progress.

Examples:

    clapladder history trend 'lunch hour'
    clapladder history trend 'lunch hour' --html trend.html
    clapladder history trend 'lunch hour' --bank my-bank.toml --svg trend.svg`
}

func (c *trendCommand) Run(con *console.Console) error {
	err := cmp.Or(flagcheck.OneOutput(c.JSON, c.SVG, c.HTML), flagcheck.Page(c.HTML, c.Title, c.Open))
	if err != nil {
		return err
	}
	_, records, err := c.Records(con)
	if err != nil {
		return err
	}
	if records, err = logbook.OfGroup(records, c.Group); err != nil {
		return err
	}
	bank, err := con.Bank(c.Bank)
	if err != nil {
		return err
	}
	trend, err := history.NewTrend(records, c.Group, history.NewScale(difficulty.DefaultModel(), bank))
	if err != nil {
		return fmt.Errorf("estimating the trend: %w", err)
	}
	if why, looks := history.LooksLikeName(trend.Group); looks && c.HTML != "" && c.Title == "" {
		con.Note(why + "; --title gives the page another title")
	}
	remarks := trendRemarks(trend, console.BankName(con.BankPath(c.Bank)), bank)
	targets := []console.Target{
		{Path: c.SVG, Fill: func(w io.Writer) error {
			return view.TrendSVG(w, trend.Group, levelPoints(latest(trend.Points, mostDrawn)), 720)
		}},
		{Path: c.HTML, Fill: func(w io.Writer) error { return c.page(w, trend, records, remarks) }},
	}
	if err := con.WritePages(targets, c.Open, c.HTML, con.BankPath(c.Bank), c.Path(con)); err != nil {
		return err
	}
	switch {
	case c.JSON:
		return view.JSON(con.Stdout, newTrendJSON(trend, remarks))
	case c.SVG != naming.Standard && c.HTML != naming.Standard:
		c.text(con, trend, remarks)
	}
	return nil
}

// How many points are drawn and listed; there may be thousands.
const (
	mostDrawn  = 60
	mostListed = 30
)

func latest(points []history.Point, most int) []history.Point {
	return points[max(0, len(points)-most):]
}

func levelPoints(points []history.Point) []view.LevelPoint {
	out := make([]view.LevelPoint, len(points))
	for i, p := range points {
		out[i] = view.LevelPoint{Date: p.Date, Level: p.Level, Low: p.Low, High: p.High}
	}
	return out
}

// page writes the trend for people who know nothing of the program.
func (c *trendCommand) page(w io.Writer, trend *history.Trend, records []history.Record,
	remarks []string,
) error {
	called := map[int]string{}
	for _, r := range records {
		called[r.Line] = calls(r)
	}
	shown := latest(trend.Points, mostDrawn)
	page := view.TrendPage{
		Title: cmp.Or(c.Title, "Warm-ups of "+trend.Group), Said: view.Sentence(trend.Text),
		Points: levelPoints(shown), Remarks: remarks,
	}
	if n := len(shown); n > 0 {
		page.About = fmt.Sprintf("%s to %s, %s", shown[0].Date.Format("2 January 2006"),
			shown[n-1].Date.Format("2 January 2006"), view.Count(n, "warm-up"))
	}
	for _, p := range shown {
		page.Calls = append(page.Calls, called[p.Line])
	}
	return view.TrendHTML(w, page)
}

// trendRemarks is what to know about a trend besides.
func trendRemarks(trend *history.Trend, now string, bank *bank.Bank) []string {
	var out []string
	var names []string
	changed, mine := false, history.BankName(now, bank)
	for _, p := range trend.Points {
		if p.Bank == "" {
			continue
		}
		changed = changed || !history.SameBank(p.Bank, mine)
		if shown := history.ShownBank(p.Bank); !slices.Contains(names, shown) {
			names = append(names, shown)
		}
	}
	switch {
	case changed && len(names) > 1:
		out = append(out, fmt.Sprintf("These warm-ups were called from different banks (%s); "+
			"levels are on the scale of %s.", strings.Join(names, ", "), now))
	case changed && names[0] != history.ShownBank(mine):
		out = append(out, fmt.Sprintf("These warm-ups were called from another bank (%s); levels "+
			"are on the scale of %s.", names[0], now))
	case changed:
		out = append(out, "The bank has changed since; levels are on its present scale.")
	}
	if trend.Skipped > 0 {
		out = append(out, view.Sentence(view.Count(trend.Skipped, "warm-up")+" with too few rounds left out"))
	}
	if trend.Rough > 0 {
		out = append(out, view.Sentence("levels of "+view.Count(trend.Rough,
			"warm-up")+" long ago are rough"))
	}
	return out
}

func (c *trendCommand) text(con *console.Console, trend *history.Trend, remarks []string) {
	con.Para("", view.Sentence(trend.Text))
	if con.Style.Unicode && len(trend.Points) > 1 {
		con.Print("\n" + history.Sparkline(latest(trend.Points, mostDrawn)) + "\n")
	} else {
		con.Print("")
	}
	table := view.Table{Columns: []view.Column{
		{Title: "DATE"},
		{Title: "LEVEL", Right: true},
		{Title: "90 %"},
		{Title: "ROUNDS", Right: true},
	}}
	for _, p := range latest(trend.Points, mostListed) {
		table.Rows = append(table.Rows, []string{
			p.Date.Format("2006-01-02"), console.Decimal(p.Level, 1),
			console.Decimal(p.Low, 1) + " to " + console.Decimal(p.High, 1), strconv.Itoa(p.Rounds),
		})
	}
	con.Out(table.Text(con.Style))
	if more := len(trend.Points) - mostListed; more > 0 {
		con.Para("", fmt.Sprintf("And %s before; --json lists them all.", view.Count(more, "warm-up")))
	}
	for _, remark := range remarks {
		con.Para("", remark)
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
	Rough     int              `json:"rough"`   // of the points, the first so many
	Remarks   []string         `json:"remarks"` // for people
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

func newTrendJSON(t *history.Trend, remarks []string) trendJSON {
	out := trendJSON{
		t.Group, string(t.Direction), t.Chance, t.Change, t.ChangeSD, t.Text,
		t.Skipped, t.Rough, append([]string{}, remarks...),
		[]trendPointJSON{},
	}
	for _, p := range t.Points {
		out.Points = append(out.Points, trendPointJSON{
			p.Date.Format("2006-01-02T15:04:05Z07:00"),
			p.Level, p.SD, p.Low, p.High, p.Rounds,
		})
	}
	return out
}
