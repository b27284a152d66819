package phrases

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/measure"
)

// Grade is the command that ranks the phrases of a bank, or the pieces of a repertoire.
type Grade struct {
	Bank       string   `arg:"" optional:"" help:"${grade_bank}"`
	Repertoire string   `short:"r" placeholder:"FILE" help:"${grade_repertoire}"`
	Order      bool     `short:"o" help:"${grade_order}"`
	Measures   []string `short:"m" placeholder:"ID" help:"${grade_measures}"`
	JSON       bool     `help:"Write JSON: a list of objects, easiest first."`
}

var gradeHelp = helptext.Texts{
	"grade_bank": "Bank of phrases, TOML or CSV; - for standard input. ${your_bank}",
	"grade_repertoire": "Rank the pieces of this repertoire instead, part by part, on the scale " +
		"of the bank; 'starter' for the one that comes with the program.",
	"grade_order": "List phrases in an order to teach them in, by small steps, instead of by " +
		"difficulty.",
	"grade_measures": "Add columns of published measures: lhl, npvi … (clapladder show " +
		"--measures explains them).",
}

// Help is shown below the summary.
func (*Grade) Help() string {
	return `One tier is one step of the ladder: plain beats on 1, 2, 3, 4 are tier 1. A tier
that you wrote into the file wins over the program's.

Examples:

    clapladder grade
    clapladder grade my-bank.toml
    clapladder grade my-bank.csv --json
    clapladder grade my-bank.toml --repertoire my-pieces.toml`
}

func (c *Grade) Run(con *console.Console) error {
	bank, err := con.Bank(c.Bank)
	if err != nil {
		return err
	}
	if c.Repertoire != "" {
		return c.pieces(con, bank)
	}
	model := difficulty.DefaultModel()
	graded := patterns.GradeBank(model, bank)
	slices.SortStableFunc(graded, func(x, y patterns.Graded) int {
		return cmp.Compare(x.Difficulty,
			y.Difficulty)
	})
	if c.Order {
		graded = patterns.ProposeOrder(graded)
	}
	measures, err := findMeasures(c.Measures)
	if err != nil {
		return err
	}
	anchored := patterns.Anchor(model, bank)
	if c.JSON {
		return view.JSONList(con.Stdout, func(yield func(gradedJSON) bool) {
			for _, g := range graded {
				item := newGradedJSON(anchored, g)
				item.Measures = measured(measures, g.Phrase)
				if !yield(item) {
					return
				}
			}
		})
	}
	con.Out(c.table(con, anchored, graded, measures).Text(con.Wide()))
	con.Print("")
	con.Para("", view.Count(len(graded), "phrase")+". "+howSure(graded))
	if len(graded) <= mostChecked {
		sayHealth(con, patterns.CheckHealth(graded))
	}
	return sayRemarks(con, c.Bank, bank.Remarks)
}

// mostChecked is the largest bank that is searched for near-duplicates and holes: every phrase is
// compared with all of about its difficulty, and nobody reads through the pairs of a larger one.
const mostChecked = 5000

// howSure says how far the program's own placings may be off.
func howSure(graded []patterns.Graded) string {
	least, most := math.Inf(1), 0.0
	for _, g := range graded {
		if !g.Pinned {
			least, most = min(least, g.SD), max(most, g.SD)
		}
	}
	if most == 0 {
		return "You placed them all, or your groups did."
	}
	text := "The program's own placing is right within about " + console.Decimal(least, 1) +
		" tiers for two phrases in three"
	if far := console.Decimal(most, 1); far != console.Decimal(least, 1) {
		text += "; for rhythms unlike the data behind it, within " + far
	}
	return text + "."
}

// table lists phrases, with an empty line between tiers.
func (c *Grade) table(con *console.Console, m *difficulty.Model, graded []patterns.Graded,
	measures []measure.Measure,
) view.Table {
	t := view.Table{Columns: []view.Column{
		{Title: "TIER", Right: true},
		{Title: "EXACT", Right: true},
		{Title: "ID"},
		{Title: "RHYTHM", Wrap: true},
	}}
	for _, x := range measures {
		t.Columns = append(t.Columns, view.Column{Title: strings.ToUpper(x.ID), Right: true})
	}
	t.Columns = append(t.Columns, view.Column{Title: "WHY", Wrap: true})
	for i, g := range graded {
		if i > 0 && g.Tier != graded[i-1].Tier && !c.Order {
			t.Rows = append(t.Rows, nil)
		}
		row := []string{strconv.Itoa(g.Tier), console.Decimal(g.Difficulty, 1), g.ID, rhythmCell(g.Phrase)}
		for _, x := range measures {
			number := con.Dash()
			if value, err := x.Of(g.Phrase); err == nil {
				number = view.Number(value, 2)
			}
			row = append(row, number)
		}
		t.Rows = append(t.Rows, append(row, why(m, g)))
	}
	return t
}

// pieces ranks a repertoire.
func (c *Grade) pieces(con *console.Console, called *bank.Bank) error {
	repertoire, err := con.Repertoire(c.Repertoire)
	if err != nil {
		return err
	}
	model := patterns.Anchor(difficulty.DefaultModel(), called)
	graded := patterns.GradeRepertoire(model, repertoire)
	slices.SortStableFunc(graded,
		func(x, y patterns.GradedPiece) int { return cmp.Compare(x.Difficulty, y.Difficulty) })
	if c.JSON {
		list := make([]pieceJSON, len(graded))
		for i, g := range graded {
			list[i] = newPieceJSON(g)
		}
		return view.JSON(con.Stdout, list)
	}
	table := view.Table{Columns: []view.Column{
		{Title: "TIER", Right: true},
		{Title: "EXACT", Right: true, Spare: true},
		{Title: "PIECE", Wrap: true},
		{Title: "ROLE"},
		{Title: "PART", Wrap: true},
		{Title: "RHYTHM", Wrap: true},
	}}
	for i, g := range graded {
		if i > 0 {
			table.Rows = append(table.Rows, nil)
		}
		piece := g.Name
		for _, role := range []bank.Role{bank.Core, bank.Support, bank.Lead} {
			for _, part := range g.Parts {
				if part.Role != role {
					continue
				}
				table.Rows = append(table.Rows, []string{
					strconv.Itoa(part.Tier), console.Decimal(part.Difficulty, 1), piece, string(role),
					part.Name, rhythmCell(part.Phrase),
				})
				piece = ""
			}
		}
	}
	con.Out(table.Text(con.Wide()))
	con.Print("")
	con.Print(view.Count(len(graded), "piece") + ". A piece is as hard as its core part.")
	return sayRemarks(con, c.Repertoire, repertoire.Remarks)
}

// remarks says on standard error that a file has remarks, unless nobody wants to know.
func sayRemarks(con *console.Console, path string, remarks []bank.Problem) error {
	if len(remarks) == 0 || con.Quiet {
		return nil
	}
	_, err := fmt.Fprintf(con.Stderr, "%s: %s: %s that may not be meant as written: %s check %s\n",
		naming.Program, naming.Display(path), view.Count(len(remarks), "place"), naming.Program, path)
	return err
}

// rhythmCell is a phrase for a table: its boxes, and the metre where it is not the usual one.
func rhythmCell(p rhythm.Phrase) string {
	text := p.Written()
	if m := p.Meter().String(); m != "4/4" {
		text += "  (" + m + ")"
	}
	return text
}

// worthWords is how many tiers a feature must add to be named among the reasons.
const worthWords = 0.2

// why says in few words what makes a phrase hard.
func why(m *difficulty.Model, g patterns.Graded) string {
	var words []string
	for _, c := range m.Contributions(nil, g.Phrase) {
		if c.Tiers >= worthWords && len(words) < 2 {
			words = append(words, c.Feature)
		}
	}
	text := strings.Join(words, ", ")
	if text == "" {
		text = "plain beats"
	}
	if g.Pinned && (g.LearnedFrom > 0 || tierscale.Tier(g.Predicted) != g.Tier) {
		text += fmt.Sprintf(" (%s; the program says %s)", placedBy(g), console.Decimal(g.Predicted, 1))
	}
	return text
}

// placedBy says where the placing of a pinned phrase comes from.
func placedBy(g patterns.Graded) string {
	if g.LearnedFrom > 0 {
		return "learned from " + view.Count(g.LearnedFrom, "group")
	}
	return "placed by you"
}
