package main

import (
	"clapladder.example/assess/plan"
)

// choosing is the part of the command line that says what to choose openers from.
type choosing struct {
	Repertoire string   `short:"r" placeholder:"FILE" help:"Repertoire to choose openers from. Default: the repertoire in your settings, else the starter repertoire."`
	With       []string `placeholder:"TAG" offer:"tag" help:"Only pieces with all of these tags."`
	Without    []string `placeholder:"TAG" offer:"tag" help:"No pieces with any of these tags, such as instruments that are not at hand."`
	Played     []string `placeholder:"ID" offer:"piece" help:"Leave out these pieces, such as those that were played last time."`
	Comfort    float64  `placeholder:"SHARE" default:"${comfort}" help:"Share of the group that should manage the tier and its pieces, 0.5 to 0.95. Default: ${comfort}."`
}

func (c choosing) filter() plan.Filter {
	return plan.Filter{With: c.With, Without: c.Without, Played: c.Played}
}

func (c choosing) check() error {
	if !(c.Comfort >= 0.5 && c.Comfort <= 0.95) {
		return wrongUsage("--comfort is %g; write a share from 0.5 to 0.95", c.Comfort)
	}
	return nil
}
