package calls

import (
	"cmp"
	"fmt"
	"io"

	"clapladder.example/assess/plan"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/flagcheck"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/patterns"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm/spoken"
)

// CardCalls is how many calls each way through a card has unless another number is asked for.
const CardCalls = 8

// Card is the command that makes a warm-up card.
type Card struct {
	Bank    string  `arg:"" optional:"" help:"Bank to choose calls from; - for standard input. ${your_bank}"`
	Calls   int     `placeholder:"N" default:"${cardCalls}" help:"${card_calls}"`
	Tempo   float64 `placeholder:"BPM" help:"${card_tempo}"`
	People  int     `placeholder:"N" help:"How many people are expected."`
	Comfort float64 `placeholder:"SHARE" default:"${comfort}" help:"${card_comfort}"`
	Say     string  `placeholder:"SYSTEM" default:"counting" help:"${card_say}"`
	SVG     string  `name:"svg" placeholder:"FILE" help:"Write the card as a picture; - for standard output."`
	HTML    string  `name:"html" placeholder:"FILE" help:"${card_html}"`
	Open    bool    `help:"Show the page in the browser once it is written."`
	Paper   string  `enum:"A4,A5" default:"A4" help:"Paper of the page: A4 or A5."`
	Title   string  `placeholder:"TEXT" help:"Title of the page."`
	logbook.Beforehand
	JSON bool `help:"Write JSON."`
}

var cardHelp = helptext.Texts{
	"card_calls": "How many calls each way through the card has, 8 to 12. Default: " +
		"${cardCalls}.",
	"card_tempo": "One pulse that all calls keep, in beats a minute. Default: each phrase at " +
		"its own.",
	"card_comfort": "Share of the group that should manage the tier, 0.5 to 0.95. Default: " +
		"${comfort}.",
	"card_say":  "Words under the boxes: ${systems}. Default: counting.",
	"card_html": "Write the card as a page to print; - for standard output.",
}

// Help is shown below the summary.
func (*Card) Help() string {
	return `The card is a warm-up on paper that can be followed by ear: where the group had it
the way leads right, where it was lost it leads down, and each way out names a tier. The calls
are chosen to tell most. It begins and ends on plain beats.

Examples:

    clapladder card
    clapladder card my-bank.toml --tempo 96 --html card.html
    clapladder card --known 'lunch hour'
    clapladder card --calls 10 --svg card.svg --say length`
}

func (c *Card) Run(con *console.Console) error {
	if err := c.check(); err != nil {
		return err
	}
	system, err := spoken.ParseSystem(c.Say)
	if err != nil {
		return fault.Usage("--say: %v", err)
	}
	bank, err := con.Bank(c.Bank)
	if err != nil {
		return err
	}
	model := difficulty.DefaultModel()
	graded := patterns.GradeBank(model, bank)
	options := plan.CardOptions{
		Calls: c.Calls, Tempo: c.Tempo, Model: patterns.Anchor(model, bank),
		People: c.People, Comfort: c.Comfort,
	}
	if c.Known != nil {
		k, err := c.Ask(con, bank)
		if err != nil {
			return err
		}
		options.Prior = *k.Prior
		if graded, err = c.Fresh(con, graded); err != nil {
			return err
		}
	}
	card, err := plan.NewCard(graded, options)
	if err != nil {
		return fmt.Errorf("making the card: %w", err)
	}
	return c.write(con, card, system)
}

func (c *Card) check() error {
	if err := flagcheck.OneOutput(c.JSON, c.SVG, c.HTML); err != nil {
		return err
	}
	if c.Calls < 8 || c.Calls > 12 {
		return fault.Usage("--calls is %d; write a number from 8 to 12", c.Calls)
	}
	if err := cmp.Or(flagcheck.Tempo(c.Tempo), flagcheck.Comfort(c.Comfort)); err != nil {
		return err
	}
	if c.People < 0 {
		return fault.Usage("--people is %d; write how many are expected", c.People)
	}
	return cmp.Or(flagcheck.Page(c.HTML, c.Title, c.Open), c.Beforehand.Check())
}

// write puts the card where the command line asks; as text where it asks for nothing.
func (c *Card) write(con *console.Console, card *plan.Card, system spoken.System) error {
	svg := func(w io.Writer) error { return view.CardSVG(w, card, system) }
	html := func(w io.Writer) error {
		return view.CardHTML(w, card, system, c.Paper, view.Page{Title: c.Title})
	}
	pages := []console.Target{{Path: c.SVG, Fill: svg}, {Path: c.HTML, Fill: html}}
	if err := con.WritePages(pages, c.Open, c.HTML, c.Bank); err != nil {
		return err
	}
	switch {
	case c.JSON:
		return view.JSON(con.Stdout, card)
	case c.SVG == "" && c.HTML == "":
		return view.CardText(con.Stdout, card, system, con.Style)
	}
	return nil
}
