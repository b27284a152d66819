package main

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"clapladder.example/assess/view"
	"clapladder.example/patterns"
	"clapladder.example/rhythm"
)

type gradeCommand struct {
	Bank       string `arg:"" optional:"" help:"Bank of phrases, TOML or CSV; - for standard input. Default: the starter bank."`
	Repertoire string `short:"r" placeholder:"FILE" help:"Rank the pieces of this repertoire instead, part by part, on the scale of the bank; 'starter' for the one that comes with the program."`
	JSON       bool   `help:"Write JSON: a list of objects, easiest first."`
}

// Help is shown below the summary.
func (*gradeCommand) Help() string {
	return `One tier is one step of the ladder: plain beats on 1, 2, 3, 4 are tier 1. A tier that you wrote into the file wins over the program's.

Examples:

    clapladder grade
    clapladder grade my-bank.toml
    clapladder grade my-bank.csv --json
    clapladder grade my-bank.toml --repertoire my-pieces.toml`
}

func (c *gradeCommand) Run(a *app) error {
	bank, err := a.bank(c.Bank)
	if err != nil {
		return err
	}
	if c.Repertoire != "" {
		return c.pieces(a, bank)
	}
	model := patterns.DefaultModel()
	graded := patterns.GradeBank(model, bank)
	slices.SortStableFunc(graded, func(x, y patterns.Graded) int { return cmp.Compare(x.Difficulty, y.Difficulty) })
	anchored := model.Anchor(bank)
	if c.JSON {
		list := make([]gradedJSON, len(graded))
		for i, g := range graded {
			list[i] = newGradedJSON(anchored, g)
		}
		return view.JSON(a.stdout, list)
	}
	table := view.Table{Columns: []view.Column{
		{Title: "TIER", Align: view.Right}, {Title: "EXACT", Align: view.Right}, {Title: "ID"}, {Title: "RHYTHM", Wrap: true}, {Title: "WHY", Wrap: true},
	}}
	last := 0
	for i, g := range graded {
		if i > 0 && g.Tier != last {
			table.Rows = append(table.Rows, nil)
		}
		last = g.Tier
		table.Rows = append(table.Rows, []string{
			strconv.Itoa(g.Tier), decimal(g.Difficulty, 1), g.ID, rhythmCell(g.Phrase), why(anchored, g),
		})
	}
	fmt.Fprint(a.stdout, table.Text(a.wide()))
	fmt.Fprintf(a.stdout, "\n%s. The program's own placing is right within about %s tiers for two phrases in three.\n",
		plural(len(graded), "phrase"), decimal(model.SD(), 1))
	return a.remarks(c.Bank, bank.Remarks)
}

// pieces ranks a repertoire.
func (c *gradeCommand) pieces(a *app, bank *patterns.Bank) error {
	repertoire, err := a.repertoire(c.Repertoire)
	if err != nil {
		return err
	}
	model := patterns.DefaultModel().Anchor(bank)
	graded := patterns.GradeRepertoire(model, repertoire)
	slices.SortStableFunc(graded, func(x, y patterns.GradedPiece) int { return cmp.Compare(x.Difficulty, y.Difficulty) })
	if c.JSON {
		list := make([]pieceJSON, len(graded))
		for i, g := range graded {
			list[i] = newPieceJSON(g)
		}
		return view.JSON(a.stdout, list)
	}
	table := view.Table{Columns: []view.Column{
		{Title: "TIER", Align: view.Right}, {Title: "EXACT", Align: view.Right}, {Title: "PIECE", Wrap: true}, {Title: "ROLE"}, {Title: "PART", Wrap: true}, {Title: "RHYTHM", Wrap: true},
	}}
	for i, g := range graded {
		if i > 0 {
			table.Rows = append(table.Rows, nil)
		}
		piece := g.Name
		for _, role := range []patterns.Role{patterns.Core, patterns.Support, patterns.Lead} {
			for _, part := range g.Parts {
				if part.Role != role {
					continue
				}
				table.Rows = append(table.Rows, []string{
					strconv.Itoa(part.Tier), decimal(part.Difficulty, 1), piece, role.String(), part.Name, rhythmCell(part.Phrase),
				})
				piece = ""
			}
		}
	}
	fmt.Fprint(a.stdout, table.Text(a.wide()))
	fmt.Fprintf(a.stdout, "\n%s. A piece is as hard as its core part.\n", plural(len(graded), "piece"))
	return a.remarks(c.Repertoire, repertoire.Remarks)
}

// remarks says on standard error that a file has remarks, unless nobody wants to know.
func (a *app) remarks(path string, remarks []patterns.Problem) error {
	if len(remarks) == 0 || a.quiet {
		return nil
	}
	_, err := fmt.Fprintf(a.stderr, "%s: %s: %s that may not be meant as written: %s check %s\n",
		name, displayName(path), plural(len(remarks), "place"), name, path)
	return err
}

// wide is the style of tables with a row for each of many things: in a file or a pipe every row stays on its line, for
// other programs to search.
func (a *app) wide() view.Style {
	s := a.style
	if s.Width == 0 {
		s.Width = 1000
	}
	return s
}

// rhythmCell is a phrase for a table: its boxes, and the metre where it is not the usual one.
func rhythmCell(p rhythm.Phrase) string {
	text := p.String()
	if m := p.Meter().String(); m != "4/4" {
		text += "  (" + m + ")"
	}
	return text
}

// worthWords is how many tiers a feature must add to be named among the reasons.
const worthWords = 0.2

// why says in few words what makes a phrase hard.
func why(m *patterns.Model, g patterns.Graded) string {
	var words []string
	for _, c := range m.Explain(g.Phrase).Contributions {
		if c.Tiers >= worthWords && len(words) < 2 {
			words = append(words, c.Feature.String())
		}
	}
	text := strings.Join(words, ", ")
	if text == "" {
		text = "plain beats"
	}
	if g.Pinned && patterns.TierOf(g.Predicted) != g.Tier {
		text += fmt.Sprintf(" (placed by you; the program says %s)", decimal(g.Predicted, 1))
	}
	return text
}

func decimal(x float64, places int) string { return strconv.FormatFloat(x, 'f', places, 64) }

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
