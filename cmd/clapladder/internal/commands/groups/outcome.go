package groups

import (
	"fmt"
	"strings"
	"time"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/logbook"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/internal/history"
)

type outcomeCommand struct {
	Group string `arg:"" offer:"group" help:"Group."`
	Heard string `arg:"" enum:"got,partly,lost" offer:"heard" help:"How it went: got, partly or lost."`
	Piece string `arg:"" optional:"" offer:"piece" help:"${history_outcome_piece}"`
	Date  string `placeholder:"DATE" help:"When that was. Default: now."`
	logbook.Log
}

var outcomeHelp = helptext.Texts{
	"history_outcome_piece": "ID of the piece that was opened with. Default: the main opener " +
		"that was suggested last.",
}

// Help is shown below the summary.
func (*outcomeCommand) Help() string {
	return `Tell the program afterwards how the opener went. From five outcomes on the chances
of openers are adjusted by them, and clapladder history show says how often they came true. Got
means that at least 7 in 10 managed it.

Examples:

    clapladder history outcome 'lunch hour' got
    clapladder history outcome 'lunch hour' lost mooring`
}

func (c *outcomeCommand) Run(con *console.Console) error {
	log, contents, records, err := c.WarmUps(con, c.Group)
	if err != nil {
		return err
	}
	at, err := dateOrNow(c.Date)
	if err != nil {
		return err
	}
	opener, err := c.opener(con, records, at)
	if err != nil {
		return err
	}
	outcome := history.Outcome{Group: records[0].Group, Date: at, Heard: c.Heard, Opener: opener}
	if err := log.AddOutcome(con.Ctx, outcome); err != nil {
		return logbook.FileError(log, err)
	}
	said := "no chance was stated"
	if opener.Chance != nil {
		said = "it was given " + view.Chance(*opener.Chance)
	}
	con.Para("", fmt.Sprintf("%s %s with %s; %s.", opener.Piece, heardWords[c.Heard], records[0].Group, said))
	reliability(con, append(contents.Outcomes, outcome))
	return nil
}

var heardWords = map[string]string{
	"got": "came together", "partly": "came together partly",
	"lost": "fell apart",
}

// opener finds the piece and the chance it was given: the last warm-up before then that suggested
// it, or anything.
func (c *outcomeCommand) opener(con *console.Console, records []history.Record, at time.Time,
) (history.Opener, error) {
	var last *history.Record
	for i := range records {
		r := &records[i]
		if len(r.Openers) > 0 && !r.Date.After(at) && (last == nil || !r.Date.Before(last.Date)) {
			last = r
		}
	}
	if last == nil {
		if c.Piece == "" {
			return history.Opener{}, fault.Usage("no opener was suggested to %s before then; name "+
				"the piece", records[0].Group)
		}
		return history.Opener{Piece: c.Piece}, nil
	}
	var named []string
	for _, role := range []string{"main", "safe", "stretch", "fallback", "split"} {
		for _, o := range last.Openers {
			if o.Role != role || o.Part != "" && c.Piece == "" {
				continue
			}
			if o.Piece == c.Piece && o.Part == "" || c.Piece == "" {
				return o, nil
			}
			named = append(named, o.Piece)
		}
	}
	repertoire, err := con.Repertoire("")
	if err != nil {
		return history.Opener{}, err
	}
	for _, p := range repertoire.Pieces {
		if p.ID == c.Piece {
			return history.Opener{Piece: c.Piece}, nil
		}
		named = append(named, p.ID)
	}
	return history.Opener{}, fault.Usage("there is no piece %q%s", c.Piece, naming.DidYouMean(c.Piece, named))
}

// reliability says how often chances came true.
func reliability(con *console.Console, outcomes []history.Outcome) {
	r := history.NewReliability(outcomes)
	if r.Cases == 0 {
		return
	}
	con.Heading("How often the chances came true")
	table := view.Table{Columns: []view.Column{
		{Title: "CHANCE"},
		{Title: "SAID", Right: true},
		{Title: "CAME TRUE", Right: true},
		{Title: "90 % INTERVAL", Right: true},
	}}
	for _, b := range r.Bands {
		table.Rows = append(table.Rows, []string{
			fmt.Sprintf("%.0f to %.0f %%", 100*b.From, 100*b.To), view.Chance(b.Stated),
			fmt.Sprintf("%d of %d", b.Came, b.Cases),
			fmt.Sprintf("%.0f to %.0f %%", 100*b.Low, 100*b.High),
		})
	}
	con.Out(table.Text(con.Style))
	brier := fmt.Sprintf("Brier score %.2f", r.Brier)
	if r.BrierLow > 0 || r.BrierHigh < 1 {
		brier += fmt.Sprintf(" (90 %%: %.2f to %.2f)", r.BrierLow, r.BrierHigh)
	} else {
		brier += ", too few cases to say how sure"
	}
	text := []string{brier + "; 0 is perfect, 0.25 is what always saying 50 % gets."}
	if c := history.Recalibrate(outcomes); c.Moves() {
		text = append(text, fmt.Sprintf("Chances of openers are adjusted by this: what would "+
			"have been 70 %% is now %.0f %%, and 90 %% is %.0f %%.", 100*c.Apply(0.7), 100*c.Apply(0.9)))
	} else {
		text = append(text, "From five outcomes on, the chances of openers are adjusted by them.")
	}
	con.Para("", strings.Join(text, " "))
}
