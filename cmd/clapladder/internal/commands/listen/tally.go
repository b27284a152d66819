package listen

import (
	"errors"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/assess/plan"
	"clapladder.example/cmd/clapladder/internal/commands/openers"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/patterns/bank"
)

// Tally is the command that judges a warm-up by what was heard by ear.
type Tally struct {
	Heard  []string `arg:"" optional:"" offer:"verdict" help:"${tally_heard}"`
	Bank   string   `short:"b" placeholder:"FILE" help:"Bank that the calls come from. ${your_bank}"`
	People int      `placeholder:"N" help:"Hint: how many people took part."`
	openers.Choosing
	logbook.Saving
	reporting
}

var tallyHelp = helptext.Texts{
	"tally_heard": "What you heard of each call: its ID in the bank, =, and got, partly or " +
		"lost. With nothing here you are asked.",
}

// Help is shown below the summary.
func (*Tally) Help() string {
	return `For a warm-up without a recording. Write got where nearly everybody had it, partly
where about half of them had, lost where few had. The same phrase may stand more than once. One
letter of got, partly and lost is enough. With nothing here you are asked, and told after each
call what to call next.

Examples:

    clapladder tally row=got gangway=got fog=partly bell=got throw=lost
    clapladder tally row=g gangway=g fog=p bell=g throw=l --json
    clapladder tally`
}

func (c *Tally) Run(con *console.Console) error {
	if err := errors.Join(c.Choosing.Check(), c.Saving.Check(), c.reporting.check()); err != nil {
		return err
	}
	if c.People < 0 {
		return fault.Usage("--people is %d; write how many took part", c.People)
	}
	s, err := readyTo(con, c.Bank, c.Repertoire, c.Choosing, &c.Saving)
	if err != nil {
		return err
	}
	s.options.People = c.People
	verdicts, err := c.verdicts(con, s)
	if err != nil {
		return err
	}
	k, err := c.Prior(con, s.bank, logbook.Source{})
	if err != nil {
		return err
	}
	s.options.Prior = k.Prior
	report, err := assess.Tally(verdicts, s.bank, s.options)
	if e, ok := errors.AsType[*plan.NoPieceError](err); ok {
		return fault.Usage("%v", e)
	}
	if err != nil {
		return err
	}
	s.remark(report, k, c.Known)
	return c.finish(con, report, s.saved(c.People, logbook.Source{}, k), &c.Saving,
		[]string{con.BankPath(c.Bank), c.Repertoire, c.Path(con)})
}

// verdicts are those of the command line; without any they are asked for.
func (c *Tally) verdicts(con *console.Console, s scoring) ([]assess.Verdict, error) {
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
	return ask(con, s.bank, s.nextWords)
}

// parseVerdict reads "gangway=got".
func parseVerdict(text string, bank *bank.Bank) (assess.Verdict, error) {
	id, word, found := strings.Cut(text, "=")
	if !found {
		return assess.Verdict{}, fault.Usage("%q says no verdict; write %s=got, %s=partly or "+
			"%s=lost", text, id, id, id)
	}
	entry, err := console.FindEntry(bank, strings.TrimSpace(id))
	if err != nil {
		return assess.Verdict{}, err
	}
	heard := verdictOf(word)
	if heard == ability.NoVerdict {
		return assess.Verdict{}, fault.Usage("%q is no verdict; write %s=got, %s=partly or %s=lost",
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
