package main

import (
	"errors"
	"fmt"
	"io"

	"clapladder.example/assess"
	"clapladder.example/assess/audio"
	"clapladder.example/assess/view"
)

type scoreCommand struct {
	Recording  string   `arg:"" optional:"" help:"Recording of the warm-up in any usual format; - for standard input."`
	Bank       string   `short:"b" placeholder:"FILE" help:"Bank that the calls come from. Default: the starter bank."`
	Repertoire string   `short:"r" placeholder:"FILE" help:"Repertoire to choose openers from. Default: the starter repertoire."`
	Order      []string `placeholder:"ID" help:"Phrases in the order they were called, as a help."`
	Tempo      float64  `placeholder:"BPM" help:"Beats a minute that all calls kept, as a help."`
	Comfort    float64  `placeholder:"SHARE" default:"${comfort}" help:"Share of the group that should manage the tier, 0.5 to 0.95. Default: ${comfort}."`
	People     int      `placeholder:"N" help:"How many people took part, as a help."`
	JSON       bool     `help:"Write the report as JSON."`
}

// Help is shown below the summary.
func (*scoreCommand) Help() string {
	return `The first three lines say which tier and how sure, what to open with and what to fall back to. Any phone recording will do; nothing has to be pressed or called in a fixed order. Begin the warm-up with four plain beats that everybody claps.

Tell people that you record, and keep to the rules of the place; the recording is not kept by the program.

Examples:

    clapladder score warm-up.wav
    clapladder score warm-up.wav --bank my-bank.toml --repertoire my-pieces.toml
    clapladder score warm-up.wav --order gangway,mainsail,fender
    clapladder score - --json < warm-up.wav`
}

func (c *scoreCommand) Run(a *app) error {
	if c.Recording == "" {
		return wrongUsage("name a recording")
	}
	report, err := c.report(a)
	if err != nil {
		return err
	}
	if c.JSON {
		return view.JSON(a.stdout, report)
	}
	return view.Text(a.stdout, report, a.style)
}

func (c *scoreCommand) report(a *app) (*assess.Report, error) {
	if !(c.Comfort >= 0.5 && c.Comfort <= 0.95) {
		return nil, wrongUsage("--comfort is %g; write a share from 0.5 to 0.95", c.Comfort)
	}
	bank, err := a.bank(c.Bank)
	if err != nil {
		return nil, err
	}
	repertoire, err := a.repertoire(c.Repertoire)
	if err != nil {
		return nil, err
	}
	for _, id := range c.Order {
		if _, err := findEntry(bank, id); err != nil {
			return nil, fmt.Errorf("--order: %w", err)
		}
	}
	options := assess.Options{
		Repertoire: repertoire, Comfort: c.Comfort, Order: c.Order, Tempo: c.Tempo, People: c.People, Tool: tool(),
	}
	f, err := a.open(c.Recording)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var r io.Reader = f
	report, err := assess.Recording(a.ctx, r, bank, options)
	if e, ok := errors.AsType[*audio.Error](err); ok {
		return nil, &inputError{displayName(c.Recording), e}
	}
	return report, err
}
