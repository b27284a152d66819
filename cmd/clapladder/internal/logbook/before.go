package logbook

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/internal/history"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
)

// Beforehand is the part of the command line that asks the history before a session.
type Beforehand struct {
	Known *string `placeholder:"GROUP" offer:"group" help:"${beforehand_known}"`
	Log
}

var beforehandHelp = helptext.Texts{
	"beforehand_known": "Go by what the history knows of this group, and leave out what came " +
		"last time.",
}

// Check refuses what does not go together.
func (b *Beforehand) Check() error {
	if b.Known == nil && b.History != "" {
		return fault.Usage("--history belongs to --known GROUP")
	}
	return checkLabel("--known", b.Known)
}

// Ask is what the history knows now; without a level the error says so.
func (b *Beforehand) Ask(con *console.Console, bank *bank.Bank) (Known, error) {
	k, err := b.knownOf(con, *b.Known, bank, time.Now())
	if err == nil && k.Prior == nil {
		err = fault.BadInput("the history",
			"too few rounds of %q are known; give --tier, or save a warm-up first", *b.Known)
	}
	if err == nil {
		con.Note(fmt.Sprintf("going by what is known of %q: %s", *b.Known, k.words))
	}
	return k, err
}

// lastTime is the latest warm-up of the group.
func (b *Beforehand) lastTime(con *console.Console) (history.Record, *history.Contents, error) {
	_, contents, err := b.Contents(con)
	if err != nil {
		return history.Record{}, nil, err
	}
	records, err := OfGroup(contents.Records, *b.Known)
	if err != nil {
		return history.Record{}, nil, err
	}
	return slices.MaxFunc(records, func(x, y history.Record) int { return x.Date.Compare(y.Date) }),
		contents, nil
}

// LastPlayed lists the pieces of last time: those whose outcome was told since, otherwise the main
// opener that was suggested.
func (b *Beforehand) LastPlayed(con *console.Console) ([]string, error) {
	last, contents, err := b.lastTime(con)
	if err != nil {
		return nil, err
	}
	var pieces []string
	for _, o := range contents.Outcomes {
		if o.Piece != "" && history.SameGroup(o.Group, *b.Known) && Day(o.Date) >= Day(last.Date) &&
			!slices.Contains(pieces, o.Piece) {
			pieces = append(pieces, o.Piece)
		}
	}
	if len(pieces) > 0 {
		con.Note("leaving out what was played last time: " + strings.Join(pieces, ", "))
		return pieces, nil
	}
	for _, o := range last.Openers {
		if o.Role == "main" {
			con.Note("leaving out what was suggested last time: " + o.Piece)
			return []string{o.Piece}, nil
		}
	}
	return nil, nil
}

// Fresh leaves out the phrases that were called last time, but for plain ones, as long as enough
// are left.
func (b *Beforehand) Fresh(con *console.Console, graded []patterns.Graded) ([]patterns.Graded, error) {
	const plain, enough = 1.5, 16
	last, _, err := b.lastTime(con)
	if err != nil {
		return nil, err
	}
	called := map[string]bool{}
	for _, r := range last.Rounds {
		if r.Phrase != nil {
			called[*r.Phrase] = true
		}
	}
	var out []patterns.Graded
	var left []string
	for _, g := range graded {
		if called[g.ID] && g.Difficulty > plain {
			left = append(left, g.ID)
			continue
		}
		out = append(out, g)
	}
	if len(out) < enough || len(left) == 0 {
		return graded, nil
	}
	con.Note("leaving out what was called last time: " + strings.Join(left, ", "))
	return out, nil
}
