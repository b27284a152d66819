package phrases

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/flagcheck"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/patterns"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/measure"
	"clapladder.example/rhythm/spoken"
)

// Show is the command that shows one phrase and what makes it hard.
type Show struct {
	ID       string  `arg:"" optional:"" offer:"phrase" help:"${show_id}"`
	Bank     string  `short:"b" placeholder:"FILE" help:"Bank to look in. ${your_bank}"`
	Rhythm   string  `placeholder:"BOXES" help:"A phrase of your own, in boxes: 'x xx . x'."`
	Meter    string  `placeholder:"METRE" help:"Its metre: 4/4, 6/8, 7/8=2+2+3. Default: 4/4."`
	Tempo    float64 `placeholder:"BPM" help:"Beats a minute. Default: that of the bank, else 96."`
	Say      string  `placeholder:"SYSTEM" default:"counting" help:"${show_say}"`
	Easier   bool    `short:"e" help:"Add variants about one tier easier."`
	Harder   bool    `help:"Add variants about one tier harder."`
	Measures bool    `short:"m" help:"Show every published measure of complexity."`
	JSON     bool    `help:"Write JSON."`
}

var showHelp = helptext.Texts{
	"show_id":  "ID of a phrase of the bank; clapladder grade lists them.",
	"show_say": "Words under the boxes: ${systems}. Default: counting.",
}

// Help is shown below the summary.
func (*Show) Help() string {
	return `In boxes, x is a clap, s a stamp, p a pat on the thighs, n a snap, . silence; upper
case is accented. Beats are separated by spaces and bars by |. The boxes of a beat divide it
equally.

Examples:

    clapladder show gangway
    clapladder show gangway --tempo 80 --easier
    clapladder show --rhythm 'x xx . x' --meter 4/4 --tempo 96
    clapladder show --rhythm 'x.x .xx' --meter 6/8`
}

func (c *Show) Run(con *console.Console) error {
	graded, model, err := c.phrase(con)
	if err != nil {
		return err
	}
	if c.JSON {
		return c.json(con, model, graded)
	}
	system, err := spoken.ParseSystem(c.Say)
	if err != nil {
		return fault.Usage("--say: %v", err)
	}
	c.heading(con, graded)
	explanation := model.Explain(graded.Phrase)
	reasons, tenths := worthShowing(explanation)
	con.Print("")
	for _, line := range view.Spoken(graded.Phrase, system, marks(reasons), con.Style) {
		con.Print("  " + line)
	}
	sayReasons(con, explanation, reasons, tenths)
	if c.Easier {
		sayNeighbours(con, "Easier", model.Easier(graded.Phrase))
	}
	if c.Harder {
		sayNeighbours(con, "Harder", model.Harder(graded.Phrase))
	}
	c.measures(con, graded.Phrase)
	return nil
}

// phrase finds or parses what is to be shown.
func (c *Show) phrase(con *console.Console) (patterns.Graded, *difficulty.Model, error) {
	switch {
	case c.ID == "" && c.Rhythm == "":
		return patterns.Graded{}, nil, fault.Usage("name a phrase of the bank, or give one with --rhythm")
	case c.ID != "" && c.Rhythm != "":
		return patterns.Graded{}, nil, fault.Usage("give either a phrase of the bank or --rhythm, not both")
	case c.ID != "" && c.Meter != "":
		return patterns.Graded{}, nil,
			fault.Usage("--meter belongs to --rhythm; the metre of %s is in the bank", c.ID)
	}
	if err := flagcheck.Tempo(c.Tempo); err != nil {
		return patterns.Graded{}, nil, err
	}
	bank, err := con.Bank(c.Bank)
	if err != nil {
		return patterns.Graded{}, nil, err
	}
	model := patterns.Anchor(difficulty.DefaultModel(), bank)
	if c.Rhythm != "" {
		phrase, err := console.ParsePhrase(c.Rhythm, c.Meter, c.Tempo)
		return patterns.GradePhrase(model, phrase), model, err
	}
	entry, err := console.FindEntry(bank, c.ID)
	if err != nil {
		return patterns.Graded{}, nil, err
	}
	if c.Tempo != 0 {
		entry.Phrase = entry.Phrase.WithTempo(c.Tempo)
		entry.Tier, entry.Difficulty, entry.LearnedFrom = 0, 0, 0 // placed for another tempo
		g := patterns.GradePhrase(model, entry.Phrase)
		g.Entry = entry
		return g, model, nil
	}
	for _, g := range patterns.GradeBank(difficulty.DefaultModel(), bank) {
		if g.ID == entry.ID {
			return g, model, nil
		}
	}
	return patterns.Graded{}, nil, fmt.Errorf("phrase %q was not graded", entry.ID)
}

func (c *Show) heading(con *console.Console, g patterns.Graded) {
	title := g.Name
	if title == "" {
		title = "Your phrase"
	} else if g.ID != g.Name {
		title += " (" + g.ID + ")"
	}
	p := g.Phrase
	con.Print(con.Style.Bold(con.Style.Plain(title)))
	con.Print(fmt.Sprintf("%s at %s %s a minute, %s, %s s", p.Meter(), view.Number(p.Tempo(), 1),
		counted(p.Meter()), view.Count(p.Bars(), "bar"), console.Decimal(p.Duration(), 1)))
	sure := "give or take " + console.Decimal(g.SD, 1)
	if g.Pinned {
		sure = placedBy(g) + "; the program says " + console.Decimal(g.Predicted, 1)
	}
	con.Print(fmt.Sprintf("Tier %d, difficulty %s, %s", g.Tier, console.Decimal(g.Difficulty, 1), sure))
	if len(g.Tags) > 0 {
		con.Para("", "Tags: "+strings.Join(g.Tags, ", "))
	}
	for line := range strings.Lines(g.Notes) {
		con.Para("", line)
	}
}

// marks numbers the places that reasons point to.
func marks(reasons []difficulty.Reason) []view.Mark {
	var out []view.Mark
	for i, r := range reasons {
		for _, place := range r.Places {
			out = append(out, view.Mark{Step: place.From, Sign: strconv.Itoa(i + 1)})
		}
	}
	return out
}

// worthShowing are the reasons that are left when tiers are rounded to tenths, and those tenths.
// They are rounded one on top of the other, so that the lines add up to the difficulty as it is
// shown.
func worthShowing(e difficulty.Explanation) (reasons []difficulty.Reason, tenths []int) {
	sum := e.Plain + e.Limit
	for _, r := range e.Reasons {
		before := math.Round(10 * sum)
		sum += r.Tiers
		if step := int(math.Round(10*sum) - before); step != 0 {
			reasons, tenths = append(reasons, r), append(tenths, step)
		}
	}
	return reasons, tenths
}

// hard says what makes a phrase hard; the numbers stand under the boxes too.
func sayReasons(con *console.Console, e difficulty.Explanation, reasons []difficulty.Reason, tenths []int) {
	if len(reasons) == 0 {
		con.Print("")
		con.Print("Nothing makes it harder than plain beats.")
		return
	}
	con.Heading(fmt.Sprintf("What makes it hard: plain beats are %s, then in tiers",
		console.Decimal(e.Plain+e.Limit, 1)))
	marked := slices.ContainsFunc(reasons, func(r difficulty.Reason) bool { return len(r.Places) > 0 })
	for i, r := range reasons {
		text := r.Feature
		if r.Text != "" {
			text += ": " + r.Text
		}
		con.Para(fmt.Sprintf("%d  %+.1f  ", i+1, float64(tenths[i])/10), text)
		if r.Tiers < worthWords {
			continue
		}
		if r.Error != "" {
			con.Para("         ", "Often: "+r.Error)
		}
		if r.Hint != "" {
			con.Para("         ", "Try: "+r.Hint)
		}
	}
	con.Print("   " + console.Decimal(e.Difficulty, 1) + "  together")
	if marked {
		con.Print("The numbers under the boxes show where.")
	}
}

// neighbours lists variants of a phrase.
func sayNeighbours(con *console.Console, title string, list []difficulty.Neighbour) {
	con.Heading(title)
	if len(list) == 0 {
		con.Print("Nothing that keeps its character.")
		return
	}
	table := view.Table{Columns: []view.Column{{Right: true}, {Wrap: true}, {Wrap: true}}}
	for _, n := range list {
		table.Rows = append(table.Rows, []string{
			console.Decimal(n.Difficulty, 1), rhythmCell(n.Phrase),
			con.Style.Plain(n.Change()),
		})
	}
	con.Out(table.Text(con.Style))
}

// usualMeasures are shown where not all are asked for.
var usualMeasures = []string{
	"lhl", "fitch-rosenfeld", "c-score-beat", "npvi", "interval-entropy",
	"density-second",
}

func (c *Show) measures(con *console.Console, p rhythm.Phrase) {
	title := "Published measures"
	if !c.Measures {
		title += "; --measures shows all"
	}
	con.Heading(title)
	table := view.Table{Columns: []view.Column{{}, {Right: true}, {Wrap: true}}}
	for _, m := range shownMeasures(c.Measures) {
		value, err := m.Of(p)
		number := view.Number(value, 3)
		text := m.Meaning
		if err != nil {
			number = con.Dash()
			text = "undefined: " + reasonOf(err)
		}
		if c.Measures {
			text += " [" + m.Source + "]"
		}
		table.Rows = append(table.Rows, []string{m.ID, number, con.Style.Plain(text)})
	}
	con.Out(table.Text(con.Style))
}

func shownMeasures(all bool) []measure.Measure {
	if all {
		return measure.All()
	}
	var out []measure.Measure
	for _, id := range usualMeasures {
		if m, ok := measure.Find(id); ok {
			out = append(out, m)
		}
	}
	return out
}

// reasonOf is why a measure is undefined, without the words around it.
func reasonOf(err error) string {
	if u, ok := errors.AsType[*measure.UndefinedError](err); ok && errors.Unwrap(u) != nil {
		return errors.Unwrap(u).Error()
	}
	return err.Error()
}

// counted is what the tempo counts: where beats differ in length, quarters.
func counted(m rhythm.Meter) string {
	if m.Kind() == rhythm.Additive {
		return "quarters"
	}
	return "beats"
}
