package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/internal/history"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
)

// beforehand is the part of the command line that asks the history before a session.
type beforehand struct {
	Known *string `placeholder:"GROUP" offer:"group" help:"${beforehand_known}"`
	logging
}

var beforehandHelp = helptext.Texts{
	"beforehand_known": "Go by what the history knows of this group, and leave out what came " +
		"last time.",
}

func (b beforehand) check() error {
	switch {
	case b.Known == nil && b.History != "":
		return wrongUsage("--history belongs to --known GROUP")
	case b.Known != nil && history.CleanLabel(*b.Known) == "":
		return wrongUsage("--known needs the label of a group, such as 'lunch hour'")
	}
	return nil
}

// ask is what the history knows now; without a level the error says so.
func (b beforehand) ask(a *app, bank *bank.Bank) (known, error) {
	k, err := b.knownOf(a, *b.Known, bank, time.Now())
	if err == nil && k.prior == nil {
		err = badInput("the history",
			"too few rounds of %q are known; give --tier, or save a warm-up first", *b.Known)
	}
	if err == nil {
		a.note(fmt.Sprintf("going by what is known of %q: %s", *b.Known, k.words))
	}
	return k, err
}

// lastTime is the latest warm-up of the group.
func (b beforehand) lastTime(a *app) (history.Record, *history.Contents, error) {
	_, contents, err := b.contents(a)
	if err != nil {
		return history.Record{}, nil, err
	}
	records, err := ofGroup(contents.Records, *b.Known)
	if err != nil {
		return history.Record{}, nil, err
	}
	return slices.MaxFunc(records, func(x, y history.Record) int { return x.Date.Compare(y.Date) }),
		contents, nil
}

// played lists the pieces of last time: those whose outcome was told since, otherwise the main
// opener that was suggested.
func (b beforehand) played(a *app) ([]string, error) {
	last, contents, err := b.lastTime(a)
	if err != nil {
		return nil, err
	}
	var pieces []string
	for _, o := range contents.Outcomes {
		if o.Piece != "" && history.SameGroup(o.Group, *b.Known) && day(o.Date) >= day(last.Date) &&
			!slices.Contains(pieces, o.Piece) {
			pieces = append(pieces, o.Piece)
		}
	}
	if len(pieces) > 0 {
		a.note("leaving out what was played last time: " + strings.Join(pieces, ", "))
		return pieces, nil
	}
	for _, o := range last.Openers {
		if o.Role == "main" {
			a.note("leaving out what was suggested last time: " + o.Piece)
			return []string{o.Piece}, nil
		}
	}
	return nil, nil
}

// fresh leaves out the phrases that were called last time, but for plain ones, as long as enough
// are left.
func (b beforehand) fresh(a *app, graded []patterns.Graded) ([]patterns.Graded, error) {
	const plain, enough = 1.5, 16
	last, _, err := b.lastTime(a)
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
	a.note("leaving out what was called last time: " + strings.Join(left, ", "))
	return out, nil
}
