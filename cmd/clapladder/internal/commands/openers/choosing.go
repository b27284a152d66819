package openers

import (
	"clapladder.example/assess/plan"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/flagcheck"
	"clapladder.example/cmd/clapladder/internal/helptext"
)

// Choosing is the part of the command line that says what to choose openers from.
type Choosing struct {
	Repertoire string   `short:"r" placeholder:"FILE" help:"${choosing_repertoire}"`
	With       []string `placeholder:"TAG" offer:"tag" help:"Only pieces with all of these tags."`
	Without    []string `placeholder:"TAG" offer:"tag" help:"${choosing_without}"`
	Played     []string `placeholder:"ID" offer:"piece" help:"${choosing_played}"`
	Sure       float64  `placeholder:"CHANCE" default:"0.67" help:"${choosing_sure}"`
	Comfort    float64  `placeholder:"SHARE" default:"${comfort}" help:"${choosing_comfort}"`
}

var choosingHelp = helptext.Texts{
	"choosing_repertoire": "Repertoire to choose openers from. Default: the repertoire in your " +
		"settings, else the starter repertoire.",
	"choosing_without": "No pieces with any of these tags, such as instruments that are not at " +
		"hand.",
	"choosing_played": "Leave out these pieces, such as those that were played last time.",
	"choosing_sure": "Chance that the main choice should have to work, 0.5 to 0.99. Default: " +
		"0.67, two in three.",
	"choosing_comfort": "Share of the group that should manage the tier and its pieces, 0.5 to " +
		"0.95. Default: ${comfort}.",
}

// Filter is which pieces may be chosen.
func (c Choosing) Filter() plan.Filter {
	return plan.Filter{With: c.With, Without: c.Without, Played: c.Played}
}

// Check refuses what is out of range.
func (c Choosing) Check() error {
	if err := flagcheck.Comfort(c.Comfort); err != nil {
		return err
	}
	if !(c.Sure >= 0.5 && c.Sure <= 0.99) {
		return fault.Usage("--sure is %g; write a chance from 0.5 to 0.99", c.Sure)
	}
	return nil
}
