package phrases

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/internal/history"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// Learn is the command that moves difficulties towards what groups did.
type Learn struct {
	Bank    string  `arg:"" optional:"" help:"Bank to learn about. ${your_bank}"`
	Results string  `placeholder:"FILE" help:"${learn_results}"`
	Write   bool    `short:"w" help:"Write the difficulties that moved into the bank; comments and order stay."`
	Least   float64 `placeholder:"TIERS" default:"0.1" help:"${learn_least}"`
	logbook.Log
	JSON bool `help:"Write JSON."`
}

var learnHelp = helptext.Texts{
	"learn_results": "Learn from this CSV instead of the history: columns phrase, share (0 to " +
		"1) and group.",
	"learn_least": "With --write: only phrases that moved by at least this many tiers. Default: " +
		"0.1.",
}

// Help is shown below the summary.
func (*Learn) Help() string {
	return `Difficulties move from what the program predicts, or you placed, towards what your
own groups did; with few results hardly at all. Phrases that nobody called move with those they
are like. Nothing is written unless you say so.

Examples:

    clapladder learn my-bank.toml
    clapladder learn my-bank.toml --write
    clapladder learn my-bank.toml --results term.csv`
}

func (c *Learn) Run(con *console.Console) error {
	c.Bank = con.BankPath(c.Bank)
	if c.Write && (c.Bank == console.Starter || c.Bank == naming.Standard) {
		return fault.Usage("--write needs a bank of your own")
	}
	bank, err := con.Bank(c.Bank)
	if err != nil {
		return err
	}
	outcomes, err := c.outcomes(con, bank)
	if err != nil {
		return err
	}
	lesson, err := patterns.Learn(difficulty.DefaultModel(), bank, outcomes)
	if errors.Is(err, patterns.ErrNothingToLearn) {
		return fault.BadInput(c.source(), "%w", err)
	}
	if err != nil {
		return fmt.Errorf("learning: %w", err)
	}
	if c.Write {
		if err := c.write(con, bank, lesson); err != nil {
			return err
		}
	}
	if c.JSON {
		return view.JSON(con.Stdout, newLessonJSON(lesson))
	}
	c.text(con, lesson)
	return nil
}

func (c *Learn) source() string {
	if c.Results != "" {
		return naming.Display(c.Results)
	}
	return "the history"
}

func (c *Learn) outcomes(con *console.Console, called *bank.Bank) ([]bank.Outcome, error) {
	if c.Results != "" {
		data, err := con.ReadAll(c.Results)
		if err != nil {
			return nil, err
		}
		return bank.ReadOutcomes(naming.Display(c.Results), data)
	}
	_, records, err := c.Records(con)
	if err != nil {
		return nil, err
	}
	return history.Outcomes(records, called), nil
}

// write puts what moved into the bank.
func (c *Learn) write(con *console.Console, called *bank.Bank, lesson *patterns.Lesson) error {
	pins := lesson.Pins(called, c.Least)
	if len(pins) == 0 {
		con.Note("nothing moved by " + view.Number(c.Least, 2) + " tiers; " + c.Bank + " stays as it is")
		return nil
	}
	old, err := con.ReadAll(c.Bank)
	if err != nil {
		return err
	}
	text, err := bank.SetPins(c.Bank, old, pins)
	if err != nil {
		return err
	}
	if err := atomicfile.WriteText(c.Bank, text); err != nil {
		return err
	}
	con.Note(fmt.Sprintf("wrote the difficulty of %s into %s", view.Count(len(pins), "phrase"), c.Bank))
	return nil
}

func (c *Learn) text(con *console.Console, lesson *patterns.Lesson) {
	groups := "GROUPS"
	if c.Results == "" {
		groups = "WARM-UPS" // of the log each is a group of its own: levels move
	}
	table := view.Table{Columns: []view.Column{
		{Title: "PHRASE"},
		{Title: "BEFORE", Right: true},
		{Title: "NOW", Right: true},
		{Title: "MOVED", Right: true},
		{Title: "GIVE OR TAKE", Right: true},
		{Title: "ANSWERS", Right: true, Spare: true},
		{Title: groups, Right: true, Spare: true},
	}}
	for _, p := range lesson.Phrases {
		table.Rows = append(table.Rows, []string{
			p.ID, console.Decimal(p.Before, 1), console.Decimal(p.After, 1), fmt.Sprintf("%+.1f", p.Moved),
			console.Decimal(p.SD, 1), strconv.Itoa(p.Outcomes), strconv.Itoa(p.Groups),
		})
	}
	con.Out(table.Text(con.Style))
	sayOthers(con, lesson.Others)
	for _, id := range lesson.Unknown {
		con.Note(fmt.Sprintf("the bank has no phrase %q; its results were left out", id))
	}
	if !c.Write {
		con.Print("")
		con.Para("", "Nothing was written; --write puts these difficulties into the bank.")
	}
}

// others says which phrases moved that nobody called.
func sayOthers(con *console.Console, list []patterns.Learned) {
	const worthSaying, named = 0.1, 5
	moved := list
	for i, p := range list { // the largest moves come first
		if math.Abs(p.Moved) < worthSaying {
			moved = list[:i]
			break
		}
	}
	if len(moved) == 0 {
		return
	}
	var texts []string
	for _, p := range moved[:min(named, len(moved))] {
		texts = append(texts, fmt.Sprintf("%s %+.1f", p.ID, p.Moved))
	}
	if more := len(moved) - named; more > 0 {
		texts = append(texts, fmt.Sprintf("and %d more", more))
	}
	con.Print("")
	con.Para("", view.Count(len(moved), "phrase")+" that nobody called moved with those they are like: "+
		strings.Join(texts, ", ")+".")
}

// lessonJSON is a lesson as programs read it.
type lessonJSON struct {
	Phrases []learnedJSON `json:"phrases"`
	Others  []learnedJSON `json:"others"` // never called, moved with those they are like
	Groups  []levelJSON   `json:"groups"`
	Unknown []string      `json:"unknown"`
}

type learnedJSON struct {
	ID       string  `json:"id"`
	Before   float64 `json:"before"`
	After    float64 `json:"after"`
	Moved    float64 `json:"moved"`
	SD       float64 `json:"sd"`
	Outcomes int     `json:"answers"`
	Groups   int     `json:"groups"`
}

type levelJSON struct {
	Group    string  `json:"group"`
	Level    float64 `json:"level"`
	SD       float64 `json:"level_sd"`
	Outcomes int     `json:"answers"`
}

func newLessonJSON(l *patterns.Lesson) lessonJSON {
	out := lessonJSON{[]learnedJSON{}, []learnedJSON{}, []levelJSON{}, append([]string{}, l.Unknown...)}
	for _, p := range l.Phrases {
		out.Phrases = append(out.Phrases, learnedJSON(p))
	}
	for _, p := range l.Others {
		out.Others = append(out.Others, learnedJSON(p))
	}
	for _, g := range l.Groups {
		out.Groups = append(out.Groups, levelJSON(g))
	}
	return out
}
