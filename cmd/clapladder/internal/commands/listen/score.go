package listen

import (
	"errors"
	"fmt"
	"os"
	"time"

	"clapladder.example/assess"
	"clapladder.example/cmd/clapladder/internal/commands/openers"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/flagcheck"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/labels"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/settings"
	"clapladder.example/patterns/bank"
)

// Score is the command that judges recorded warm-ups.
type Score struct {
	Recordings []string `arg:"" optional:"" name:"recording" help:"${score_recordings}"`
	Latest     string   `placeholder:"FOLDER" help:"${score_latest}"`
	Taps       string   `placeholder:"FILE" help:"${score_taps}"`
	Bank       string   `short:"b" placeholder:"FILE" help:"Bank that the calls come from. ${your_bank}"`
	NoBank     bool     `help:"${score_no_bank}"`
	Order      []string `placeholder:"ID" offer:"phrase" help:"Hint: phrases in the order they were called."`
	Tempo      float64  `placeholder:"BPM" help:"Hint: beats a minute that all calls kept."`
	Marks      string   `placeholder:"FILE" help:"${score_marks}"`
	People     int      `placeholder:"N" help:"Hint: how many people took part."`
	From       moment   `placeholder:"TIME" help:"${score_from}"`
	To         moment   `placeholder:"TIME" help:"Listen up to here."`
	Live       bool     `help:"${score_live}"`
	Raw        int      `placeholder:"HZ" help:"${score_raw}"`
	Jobs       int      `placeholder:"N" help:"${score_jobs}"`
	openers.Choosing
	logbook.Saving
	reporting
}

var scoreHelp = helptext.Texts{
	"score_recordings": "Recording of the warm-up in any usual format; - for standard input. " +
		"Several, or a folder of them, get a line each. Without one, the newest of the folder " +
		"in your settings.",
	"score_latest": "Take the newest recording of this folder, for example one that the phone " +
		"syncs to.",
	"score_taps": "Take onset times instead of sound: a table with columns round, role (call or " +
		"response) and time_s, or a MIDI file with the calls on track 1 and the answers on " +
		"track 2.",
	"score_no_bank": "Use no bank: every call is written down and graded as it was clapped, and " +
		"tiers are those of your pieces.",
	"score_marks": "Hint: spans of the recording that you marked, a table with the columns " +
		"start_s, end_s and phrase; a phrase of the bank marks its call.",
	"score_from": "Listen from here on, such as 1:35; what lies before is not listened to.",
	"score_live": "Say after every round what is known and what to call next, while the " +
		"recording still comes in; Ctrl-C ends it and gives the report.",
	"score_raw": "With --live: what comes in is bare samples, 16-bit little-endian mono, so " +
		"many a second.",
	"score_jobs": "How many recordings to score at a time, with a line each even for one. " +
		"Default: one for each processor.",
}

// Help is shown below the summary.
func (*Score) Help() string {
	return `The first three lines say which tier and how sure, what to open with and what to
fall back to. Any phone recording will do; nothing has to be pressed or called in a fixed order.
Begin the warm-up with four plain beats that everybody claps.

Tell people that you record, and keep to the rules of the place; the recording is not kept by
the program.

Examples:

    clapladder score warm-up.wav
    clapladder score warm-up.m4a --bank my-bank.toml --repertoire my-pieces.toml
    clapladder score warm-up.wav --order gangway,bell,fog
    clapladder score --latest ~/Recordings --without drums --played mooring
    clapladder score --taps pads.csv
    clapladder score warm-up.wav --html report.html --title 'Lunch hour'
    clapladder score warm-up.wav --save 'lunch hour'
    clapladder score - --json < warm-up.wav
    arecord -f S16_LE -r 44100 -t wav | clapladder score --live -
    clapladder score ~/Recordings --json > term.jsonl`
}

func (c *Score) Run(con *console.Console) error {
	if err := c.newest(con); err != nil {
		return err
	}
	if err := c.check(); err != nil {
		return err
	}
	files, many, err := c.files()
	if err != nil {
		return err
	}
	s, err := c.ready(con)
	if err != nil {
		return err
	}
	if many {
		return c.batch(con, s, files)
	}
	report, from, k, err := c.listen(con, s)
	if err != nil {
		return err
	}
	s.remark(report, k, c.Known)
	inputs := []string{c.path0(), c.Taps, con.BankPath(c.Bank), c.Repertoire, c.Marks, c.Path(con)}
	return c.finish(con, report, s.saved(c.People, from, k), &c.Saving, inputs)
}

// path0 is the recording where there is only one.
func (c *Score) path0() string {
	if len(c.Recordings) == 0 {
		return ""
	}
	return c.Recordings[0]
}

// newest finds the recording where a folder stands for it.
func (c *Score) newest(con *console.Console) error {
	given := flagcheck.Count(len(c.Recordings) > 0, c.Latest != "", c.Taps != "")
	folder := c.Latest
	if given == 0 {
		if con.SettingsErr != nil {
			return con.SettingsErr
		}
		folder = con.Settings.Of(settings.Recordings)
	}
	switch {
	case given > 1:
		return fault.Usage("give one of a recording, --latest and --taps")
	case given == 0 && folder == "":
		return fault.Usage("name a recording, a folder with --latest, or a file with --taps")
	case folder == "":
		return nil
	}
	found, err := newest(folder)
	if err != nil {
		return err
	}
	when := ""
	if info, err := os.Stat(found); err == nil {
		when = ", of " + info.ModTime().Format("2 January 2006, 15:04")
		if time.Since(info.ModTime()) > 24*time.Hour {
			when += "; has the phone synced?"
		}
	}
	con.Note("listening to " + found + when)
	c.Recordings = []string{found}
	return nil
}

// check refuses what does not go together.
func (c *Score) check() error {
	switch tempo := flagcheck.Tempo(c.Tempo); {
	case c.Taps != "" && c.Marks != "":
		return fault.Usage("--marks is about a recording; taps need none")
	case tempo != nil:
		return tempo
	case c.Taps != "" && (c.From != 0 || c.To != 0):
		return fault.Usage("--from and --to are about a recording; taps need none")
	case c.To != 0 && c.To <= c.From:
		return fault.Usage("--to lies before --from; write a later time")
	case c.People < 0:
		return fault.Usage("--people is %d; write how many took part", c.People)
	case c.Raw != 0 && !c.Live:
		return fault.Usage("--raw is about sound that still comes in; add --live")
	case c.Live && (c.From != 0 || c.To != 0):
		return fault.Usage("--from and --to are about a recording that is there already; --live " +
			"hears all that comes in")
	case c.Live && (c.Taps != "" || len(c.Recordings) != 1):
		return fault.Usage("--live listens to one recording; name it, or - for standard input")
	case c.NoBank && (c.Bank != "" || len(c.Order) > 0):
		return fault.Usage("--no-bank leaves no phrases for --bank and --order; give one or the other")
	case c.Jobs < 0:
		return fault.Usage("--jobs is %d; write a number from 1", c.Jobs)
	}
	return errors.Join(c.Choosing.Check(), c.Saving.Check(), c.reporting.check())
}

// ready reads everything but the recording.
func (c *Score) ready(con *console.Console) (scoring, error) {
	s, err := readyTo(con, c.Bank, c.Repertoire, c.Choosing, &c.Saving)
	if err != nil {
		return s, err
	}
	if err := c.hints(con, s.bank, &s.options); err != nil {
		return s, err
	}
	if c.NoBank {
		s.bank, s.name, s.chosen = nil, "no bank", true
	}
	return s, nil
}

// hints adds what the leader knows of the recording.
func (c *Score) hints(con *console.Console, bank *bank.Bank, o *assess.Options) error {
	for _, id := range c.Order {
		if _, err := console.FindEntry(bank, id); err != nil {
			return fmt.Errorf("--order: %w", err)
		}
	}
	o.Order, o.Tempo, o.People = c.Order, c.Tempo, c.People
	o.From, o.To = float64(c.From), float64(c.To)
	if c.Marks == "" {
		return nil
	}
	data, err := con.ReadAll(c.Marks)
	if err != nil {
		return err
	}
	if o.Marks, err = labels.Read(data); err != nil {
		return fault.Input(c.Marks, err)
	}
	return nil
}
