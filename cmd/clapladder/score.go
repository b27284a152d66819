package main

import (
	"cmp"
	"errors"
	"fmt"

	"clapladder.example/assess"
	"clapladder.example/assess/plan"
	"clapladder.example/cmd/clapladder/internal/labels"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
)

type scoreCommand struct {
	Recording string   `arg:"" optional:"" help:"Recording of the warm-up in any usual format; - for standard input."`
	Latest    string   `placeholder:"FOLDER" help:"Take the newest recording of this folder, for example one that the phone syncs to."`
	Taps      string   `placeholder:"FILE" help:"Take onset times instead of sound: a table with columns round, role (call or response) and time_s, or a MIDI file with the calls on track 1 and the answers on track 2."`
	Bank      string   `short:"b" placeholder:"FILE" help:"Bank that the calls come from. Default: the starter bank."`
	Order     []string `placeholder:"ID" offer:"phrase" help:"Hint: phrases in the order they were called."`
	Tempo     float64  `placeholder:"BPM" help:"Hint: beats a minute that all calls kept."`
	Marks     string   `placeholder:"FILE" help:"Hint: spans of the recording that you marked, a table with the columns start_s, end_s and phrase; a phrase of the bank marks its call."`
	People    int      `placeholder:"N" help:"Hint: how many people took part."`
	choosing
	saving
	reporting
}

// Help is shown below the summary.
func (*scoreCommand) Help() string {
	return `The first three lines say which tier and how sure, what to open with and what to fall back to. Any phone recording will do; nothing has to be pressed or called in a fixed order. Begin the warm-up with four plain beats that everybody claps.

Tell people that you record, and keep to the rules of the place; the recording is not kept by the program.

Examples:

    clapladder score warm-up.wav
    clapladder score warm-up.m4a --bank my-bank.toml --repertoire my-pieces.toml
    clapladder score warm-up.wav --order gangway,bell,fog
    clapladder score --latest ~/Recordings --without drums --played mooring
    clapladder score --taps pads.csv
    clapladder score warm-up.wav --html report.html --title 'Lunch hour'
    clapladder score warm-up.wav --save 'lunch hour'
    clapladder score - --json < warm-up.wav`
}

func (c *scoreCommand) Run(a *app) error {
	report, err := c.report(a)
	if err != nil {
		return err
	}
	if err := c.show(a, report, c.Recording, c.Taps, c.Bank, c.Repertoire, c.Marks, c.path()); err != nil {
		return err
	}
	return c.append(a, report, c.People)
}

// check refuses what does not go together.
func (c *scoreCommand) check() error {
	given := 0
	for _, source := range []string{c.Recording, c.Latest, c.Taps} {
		if source != "" {
			given++
		}
	}
	switch {
	case given == 0:
		return wrongUsage("name a recording, a folder with --latest, or a file with --taps")
	case given > 1:
		return wrongUsage("give one of a recording, --latest and --taps")
	case c.Taps != "" && c.Marks != "":
		return wrongUsage("--marks is about a recording; taps need none")
	case c.Tempo != 0 && !(c.Tempo >= rhythm.MinTempo && c.Tempo <= rhythm.MaxTempo):
		return wrongUsage("--tempo is %g; write a number from %g to %g", c.Tempo, rhythm.MinTempo, rhythm.MaxTempo)
	case c.People < 0:
		return wrongUsage("--people is %d; write how many took part", c.People)
	}
	return errors.Join(c.choosing.check(), c.saving.check())
}

func (c *scoreCommand) report(a *app) (*assess.Report, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	if c.Latest != "" {
		found, err := newest(c.Latest)
		if err != nil {
			return nil, err
		}
		a.note("listening to " + found)
		c.Recording = found
	}
	bank, err := a.bank(c.Bank)
	if err != nil {
		return nil, err
	}
	o, err := c.options(a, bank)
	if err != nil {
		return nil, err
	}
	report, err := c.listen(a, bank, o)
	if e, ok := errors.AsType[*plan.NoPieceError](err); ok {
		return nil, wrongUsage("%v", e)
	}
	return report, err
}

func (c *scoreCommand) options(a *app, bank *bank.Bank) (assess.Options, error) {
	repertoire, err := a.repertoire(c.Repertoire)
	if err != nil {
		return assess.Options{}, err
	}
	for _, id := range c.Order {
		if _, err := findEntry(bank, id); err != nil {
			return assess.Options{}, fmt.Errorf("--order: %w", err)
		}
	}
	o := assess.Options{
		Repertoire: repertoire, Comfort: c.Comfort, Order: c.Order, Tempo: c.Tempo, People: c.People, Filter: c.filter(), Audio: a.audioLimits(), Tool: tool(),
	}
	if o.Prior, err = c.prior(a, bank); err != nil {
		return o, err
	}
	if c.Marks != "" {
		data, err := a.readAll(c.Marks)
		if err != nil {
			return o, err
		}
		if o.Marks, err = labels.Read(data); err != nil {
			return o, &inputError{displayName(c.Marks), err}
		}
	}
	return o, nil
}

// listen makes the report from whichever source was given.
func (c *scoreCommand) listen(a *app, bank *bank.Bank, o assess.Options) (*assess.Report, error) {
	path := cmp.Or(c.Taps, c.Recording)
	f, err := a.open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if c.Taps != "" {
		report, err := assess.Taps(a.ctx, f, bank, o)
		if e, ok := errors.AsType[*assess.TapsError](err); ok {
			return nil, &inputError{displayName(path), e}
		}
		return report, err
	}
	watched, done := a.watch(f)
	defer done()
	report, err := assess.Recording(a.ctx, watched, bank, o)
	return report, a.recordingError(path, err)
}
