package listen

import (
	"encoding/csv"

	"clapladder.example/assess"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
)

// Bursts is the command that lists the claps of a recording.
type Bursts struct {
	Recording string `arg:"" help:"Recording in any usual format; - for standard input."`
	CSV       bool   `name:"csv" help:"Write CSV."`
	JSON      bool   `help:"Write JSON: a list of objects."`
}

// Help is shown below the summary.
func (*Bursts) Help() string {
	return `A burst is one clap, of one person or of a whole group: its middle in seconds, its
power in dB below the recording's strongest, how far hands were apart (the standard deviation in
ms; 0 for a single clap), and how sure it is that this was one clap. For people who annotate,
and to compare detectors.

Examples:

    clapladder bursts warm-up.wav
    clapladder bursts warm-up.m4a --csv > bursts.csv`
}

func (c *Bursts) Run(con *console.Console) error {
	if c.CSV && c.JSON {
		return fault.Usage("give --csv or --json, not both")
	}
	bursts, err := c.listen(con)
	if err != nil {
		return err
	}
	switch {
	case c.JSON:
		return view.JSON(con.Stdout, bursts)
	case c.CSV:
		return c.csv(con, bursts)
	}
	table := view.Table{Columns: []view.Column{
		{Title: "TIME", Right: true},
		{Title: "POWER dB", Right: true},
		{Title: "WIDTH ms", Right: true},
		{Title: "CONFIDENCE", Right: true},
	}}
	for _, b := range bursts {
		table.Rows = append(table.Rows, []string{
			console.Decimal(b.Time, 3), console.Decimal(b.Power, 1),
			console.Decimal(b.Width, 0), console.Decimal(b.Confidence, 2),
		})
	}
	con.Out(table.Text(con.Style))
	con.Print("")
	con.Para("", view.Count(len(bursts),
		"burst")+". Power is relative to the strongest burst of this recording: a phone is not calibrated.")
	return nil
}

func (c *Bursts) csv(con *console.Console, bursts []assess.Burst) error {
	w := csv.NewWriter(con.Stdout)
	rows := [][]string{{"time_s", "power_db", "width_ms", "confidence"}}
	for _, b := range bursts {
		rows = append(rows, []string{
			console.Decimal(b.Time, 4), console.Decimal(b.Power, 2), console.Decimal(b.Width, 1),
			console.Decimal(b.Confidence, 3),
		})
	}
	return w.WriteAll(rows)
}

// listen finds the bursts of the recording.
func (c *Bursts) listen(con *console.Console) ([]assess.Burst, error) {
	f, err := con.Open(c.Recording)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	watched, done := con.Watch(f)
	defer done()
	bursts, warnings, err := assess.Bursts(con.Ctx, watched, con.AudioLimits())
	con.Warn(warnings)
	return bursts, con.RecordingError(c.Recording, err)
}
