package openers

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/assess/plan"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/flagcheck"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// Pick is the command that chooses what to open with.
type Pick struct {
	Report string  `arg:"" optional:"" help:"Report that score --json wrote; - for standard input."`
	Level  float64 `placeholder:"LEVEL" help:"Level of the group: the difficulty that half of it would get."`
	Tier   int     `placeholder:"TIER" help:"Tier that the group is comfortable with."`
	Split  bool    `help:"Plan an easier and a harder part too, for a mixed group."`
	Bank   string  `short:"b" placeholder:"FILE" help:"Bank whose placings set the scale. ${your_bank}"`
	Choosing
	logbook.Beforehand
	All  bool `help:"List every piece with its chance, the easiest first."`
	JSON bool `help:"Write JSON."`
}

// Help is shown below the summary.
func (*Pick) Help() string {
	return `Give what you know of the group: a tier, a level, or a report.

Examples:

    clapladder pick --tier 3
    clapladder pick --tier 4 --with drums --played mooring,slipway
    clapladder pick --known 'lunch hour'
    clapladder pick --level 4.5 --split --repertoire my-pieces.toml
    clapladder score warm-up.wav --json > report.json
    clapladder pick report.json --without drums`
}

func (c *Pick) Run(con *console.Console) error {
	if err := c.check(); err != nil {
		return err
	}
	bank, err := con.Bank(c.Bank)
	if err != nil {
		return err
	}
	repertoire, err := con.Repertoire(c.Repertoire)
	if err != nil {
		return err
	}
	model := patterns.Anchor(difficulty.DefaultModel(), bank)
	request := plan.Request{
		Pieces: patterns.GradeRepertoire(model, repertoire), Tier: c.Tier, Comfort: c.Comfort,
		Sure: c.Sure, Split: c.Split, Filter: c.Filter(), Model: model,
	}
	if calibration := c.Calibration(con); calibration.Moves() {
		request.Calibrate = calibration.Apply
	}
	switch {
	case c.Known != nil:
		err = c.fromHistory(con, bank, &request)
	case c.Report != "":
		err = c.fromReport(con, &request)
	case c.Level != 0:
		request.Belief, err = plan.AtLevel(c.Level)
	}
	if err != nil {
		return err
	}
	chosen, err := plan.Choose(request)
	if e, ok := errors.AsType[*plan.NoPieceError](err); ok {
		return fault.Usage("%v", e)
	}
	if err != nil {
		return fmt.Errorf("choosing: %w", err)
	}
	if c.All {
		return c.all(con, chosen)
	}
	if c.JSON {
		return view.JSON(con.Stdout, map[string]any{"comfort": c.Comfort, "openers": assess.OpenersOf(chosen)})
	}
	if len(chosen.List()) == 0 {
		con.Para("", assess.NothingLikelyText)
		return nil
	}
	return view.Openers(con.Stdout, assess.OpenersOf(chosen), c.Comfort, con.Style)
}

// all lists the repertoire with its chances.
func (c *Pick) all(con *console.Console, chosen *plan.Openers) error {
	pieces := assess.PiecesOf(chosen)
	if c.JSON {
		return view.JSON(con.Stdout, map[string]any{"comfort": c.Comfort, "pieces": pieces})
	}
	table := view.Table{Columns: []view.Column{
		{Title: "TIER", Right: true},
		{Title: "CHANCE", Right: true},
		{Title: "PIECE", Wrap: true},
		{Title: "TAGS", Wrap: true},
	}}
	for _, p := range pieces {
		table.Rows = append(table.Rows, []string{
			strconv.Itoa(p.Tier), view.Chance(p.Chance), p.Name, strings.Join(p.Tags, ", "),
		})
	}
	con.Out(table.Text(con.Wide()))
	con.Print("")
	con.Para("", fmt.Sprintf("The percentages are the chance that at least %.0f %% of the group "+
		"manage it.", 100*c.Comfort))
	return nil
}

func (c *Pick) check() error {
	switch given := flagcheck.Count(c.Report != "", c.Level != 0, c.Tier != 0, c.Known != nil); {
	case given == 0:
		return fault.Usage("say what you know of the group: --tier, --level, --known or a report")
	case given > 1:
		return fault.Usage("give one of --tier, --level, --known and a report")
	case c.Tier < 0 || c.Tier > 20:
		return fault.Usage("--tier is %d; write a number from 1 to 20", c.Tier)
	case !(c.Level >= -5 && c.Level <= 25):
		return fault.Usage("--level is %g; write a number from -5 to 25", c.Level)
	}
	return errors.Join(c.Choosing.Check(), c.Beforehand.Check())
}

// fromHistory takes the belief about a group from the log, and leaves out what was played last time
// where something else is left.
func (c *Pick) fromHistory(con *console.Console, called *bank.Bank, r *plan.Request) error {
	k, err := c.Ask(con, called)
	if err != nil {
		return err
	}
	if r.Belief, err = ability.NewPosterior(*k.Prior); err != nil {
		return fmt.Errorf("going by the history: %w", err)
	}
	if len(c.Played) > 0 {
		return nil // the leader knows better
	}
	played, err := c.LastPlayed(con)
	if err != nil || len(played) == 0 {
		return err
	}
	with := *r
	with.Filter.Played = played
	if _, err := plan.Choose(with); err == nil {
		r.Filter.Played = played
	}
	return nil
}

// fromReport takes the belief about a group from a report.
func (c *Pick) fromReport(con *console.Console, r *plan.Request) error {
	report, err := readReport(con, c.Report)
	if err != nil {
		return err
	}
	g := report.Group
	if g.Ability == nil || g.AbilitySD == nil {
		return fault.BadInput(c.Report,
			"the report states no level, because too few rounds could be used; give --tier instead")
	}
	if g.Basis != nil { // the belief that the report was written from, so that the chances are the same
		result, err := report.Estimate()
		if err != nil {
			return fault.BadInput(c.Report, "the report's rounds can't be used: %w", err)
		}
		r.Split, r.Belief = r.Split || result.Mix == "mixed", result.Posterior()
		return nil
	}
	prior := ability.Prior{Level: *g.Ability, LevelSD: *g.AbilitySD, SpreadSigma: spreadSigma}
	if g.AbilitySpread != nil {
		prior.SpreadMedian = *g.AbilitySpread
	}
	r.Split = r.Split || g.Mix != nil && *g.Mix == "mixed"
	r.Belief, err = ability.NewPosterior(prior)
	if err != nil {
		return fault.BadInput(c.Report, "the report's level can't be used: %w", err)
	}
	return nil
}

// spreadSigma is how sure the spread of a report is taken to be: the standard deviation of its
// logarithm.
const spreadSigma = 0.25

// mostReport bounds the size of a report, bytes.
const mostReport = 16 << 20

// readReport reads a report that score or tally wrote.
func readReport(con *console.Console, path string) (*assess.Report, error) {
	f, err := con.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostReport+1))
	if err != nil {
		return nil, fault.Input(path, fault.Plain(err))
	}
	if len(data) > mostReport {
		return nil, fault.BadInput(path, "the file is larger than a report can be")
	}
	var report assess.Report
	if err := json.Unmarshal(data, &report); err != nil {
		return nil, fault.BadInput(path,
			"this is not a report; write one with: %s score RECORDING --json > report.json", naming.Program)
	}
	if report.Schema != assess.Schema {
		return nil, fault.BadInput(path,
			"this is not a report of this version (%q instead of %q); score the recording again",
			report.Schema, assess.Schema)
	}
	return &report, nil
}
