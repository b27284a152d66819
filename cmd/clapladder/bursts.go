package main

import (
	"encoding/csv"
	"io"

	"clapladder.example/assess"
	"clapladder.example/assess/view"
)

type burstsCommand struct {
	Recording string `arg:"" help:"Recording in any usual format; - for standard input."`
	CSV       bool   `name:"csv" help:"Write CSV."`
	JSON      bool   `help:"Write JSON: a list of objects."`
}

// Help is shown below the summary.
func (*burstsCommand) Help() string {
	return `A burst is one clap, of one person or of a whole group: its middle in seconds, its
power in dB below the recording's strongest, how far hands were apart (the standard deviation in
ms; 0 for a single clap), and how sure it is that this was one clap. For people who annotate,
and to compare detectors.

Examples:

    clapladder bursts warm-up.wav
    clapladder bursts warm-up.m4a --csv > bursts.csv`
}

func (c *burstsCommand) Run(a *app) error {
	if c.CSV && c.JSON {
		return wrongUsage("give --csv or --json, not both")
	}
	bursts, err := c.listen(a)
	if err != nil {
		return err
	}
	switch {
	case c.JSON:
		return view.JSON(a.stdout, bursts)
	case c.CSV:
		return c.csv(a, bursts)
	}
	table := view.Table{Columns: []view.Column{
		{Title: "TIME", Right: true},
		{Title: "POWER dB", Right: true},
		{Title: "WIDTH ms", Right: true},
		{Title: "CONFIDENCE", Right: true},
	}}
	for _, b := range bursts {
		table.Rows = append(table.Rows, []string{
			decimal(b.Time, 3), decimal(b.Power, 1),
			decimal(b.Width, 0), decimal(b.Confidence, 2),
		})
	}
	a.out(table.Text(a.style))
	a.print("")
	a.para("", view.Count(len(bursts),
		"burst")+". Power is relative to the strongest burst of this recording: a phone is not calibrated.")
	return nil
}

func (c *burstsCommand) csv(a *app, bursts []assess.Burst) error {
	w := csv.NewWriter(a.stdout)
	rows := [][]string{{"time_s", "power_db", "width_ms", "confidence"}}
	for _, b := range bursts {
		rows = append(rows, []string{
			decimal(b.Time, 4), decimal(b.Power, 2), decimal(b.Width, 1),
			decimal(b.Confidence, 3),
		})
	}
	return w.WriteAll(rows)
}

// listen finds the bursts of the recording.
func (c *burstsCommand) listen(a *app) ([]assess.Burst, error) {
	f, err := a.open(c.Recording)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	watched, done := a.watch(f)
	defer done()
	bursts, err := findBursts(a, watched)
	return bursts, a.recordingError(c.Recording, err)
}

func findBursts(a *app, r io.Reader) ([]assess.Burst, error) {
	bursts, warnings, err := assess.Bursts(a.ctx, r, a.audioLimits())
	for _, w := range warnings {
		a.note(w.Text)
	}
	return bursts, err
}
