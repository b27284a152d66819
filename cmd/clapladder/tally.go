package main

import (
	"errors"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/assess/plan"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/patterns/bank"
)

type tallyCommand struct {
	Heard  []string `arg:"" optional:"" offer:"verdict" help:"${tally_heard}"`
	Bank   string   `short:"b" placeholder:"FILE" help:"Bank that the calls come from. ${your_bank}"`
	People int      `placeholder:"N" help:"Hint: how many people took part."`
	choosing
	saving
	reporting
}

var tallyHelp = helptext.Texts{
	"tally_heard": "What you heard of each call: its ID in the bank, =, and got, partly or " +
		"lost. With nothing here you are asked.",
}

// Help is shown below the summary.
func (*tallyCommand) Help() string {
	return `For a warm-up without a recording. Write got where nearly everybody had it, partly
where about half of them had, lost where few had. The same phrase may stand more than once. One
letter of got, partly and lost is enough. With nothing here you are asked, and told after each
call what to call next.

Examples:

    clapladder tally row=got gangway=got fog=partly bell=got throw=lost
    clapladder tally row=g gangway=g fog=p bell=g throw=l --json
    clapladder tally`
}

func (c *tallyCommand) Run(a *app) error {
	if err := errors.Join(c.choosing.check(), c.saving.check(), c.reporting.check()); err != nil {
		return err
	}
	if c.People < 0 {
		return wrongUsage("--people is %d; write how many took part", c.People)
	}
	s, err := a.readyTo(c.Bank, c.Repertoire, c.choosing, c.saving)
	if err != nil {
		return err
	}
	s.options.People = c.People
	verdicts, err := c.verdicts(a, s)
	if err != nil {
		return err
	}
	k, err := c.prior(a, s.bank, source{})
	if err != nil {
		return err
	}
	s.options.Prior = k.prior
	report, err := assess.Tally(verdicts, s.bank, s.options)
	if e, ok := errors.AsType[*plan.NoPieceError](err); ok {
		return wrongUsage("%v", e)
	}
	if err != nil {
		return err
	}
	s.remark(report, k, c.Known)
	return c.finish(a, report, s.saved(c.People, source{}, k), c.saving,
		[]string{a.bankPath(c.Bank), c.Repertoire, c.path(a)})
}

// verdicts are those of the command line; without any they are asked for.
func (c *tallyCommand) verdicts(a *app, s scoring) ([]assess.Verdict, error) {
	var verdicts []assess.Verdict
	for _, text := range c.Heard {
		v, err := parseVerdict(text, s.bank)
		if err != nil {
			return nil, err
		}
		verdicts = append(verdicts, v)
	}
	if len(verdicts) > 0 {
		return verdicts, nil
	}
	return a.ask(s.bank, s.nextWords)
}

// parseVerdict reads "gangway=got".
func parseVerdict(text string, bank *bank.Bank) (assess.Verdict, error) {
	id, word, found := strings.Cut(text, "=")
	if !found {
		return assess.Verdict{}, wrongUsage("%q says no verdict; write %s=got, %s=partly or "+
			"%s=lost", text, id, id, id)
	}
	entry, err := findEntry(bank, strings.TrimSpace(id))
	if err != nil {
		return assess.Verdict{}, err
	}
	heard := verdictOf(word)
	if heard == ability.NoVerdict {
		return assess.Verdict{}, wrongUsage("%q is no verdict; write %s=got, %s=partly or %s=lost",
			word, id, id, id)
	}
	return assess.Verdict{Phrase: entry.ID, Heard: heard}, nil
}

// verdictOf reads a verdict or its beginning.
func verdictOf(word string) ability.Verdict {
	word = strings.ToLower(strings.TrimSpace(word))
	if word == "" {
		return ability.NoVerdict
	}
	for _, v := range []ability.Verdict{ability.Got, ability.Partly, ability.Lost} {
		if strings.HasPrefix(v.String(), word) {
			return v
		}
	}
	return ability.NoVerdict
}
