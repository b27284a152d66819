package calls

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"clapladder.example/assess/plan"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// cued is a call of a sequence.
type cued struct {
	id, name string // empty for a phrase of the command line
	place    string // on a card
	phrase   rhythm.Phrase
}

// calls finds or parses what is to be called.
func (c *Sound) calls(con *console.Console) ([]cued, error) {
	switch {
	case c.Card != "":
		return c.cardCalls(con)
	case c.Rhythm != "":
		phrase, err := console.ParsePhrase(c.Rhythm, c.Meter, c.Tempo)
		return []cued{{phrase: phrase}}, err
	}
	bank, err := con.Bank(c.Bank)
	if err != nil {
		return nil, err
	}
	var out []cued
	for id := range strings.FieldsFuncSeq(strings.Join(c.IDs, ","),
		func(r rune) bool { return r == ',' || r == ' ' }) {
		entry, err := console.FindEntry(bank, id)
		if err != nil {
			return nil, err
		}
		out = append(out, cued{id: entry.ID, name: entry.Name, phrase: entry.Phrase})
	}
	if len(out) == 0 {
		return nil, fault.Usage("name phrases of the bank; %q names none", strings.Join(c.IDs, " "))
	}
	return out, nil
}

// cardCalls are the calls of a card: along a way through it, or all of them.
func (c *Sound) cardCalls(con *console.Console) ([]cued, error) {
	card, err := c.card(con)
	if err != nil {
		return nil, err
	}
	var out []cued
	add := func(place string, call plan.CardCall) {
		out = append(out, cued{
			id: call.Phrase, name: cmp.Or(call.Name, call.Phrase), place: place,
			phrase: call.Rhythm,
		})
	}
	if c.Folder != "" {
		for i, call := range card.Opening {
			add(fmt.Sprintf("begin-%d", i+1), call)
		}
		for _, cell := range card.Branch {
			add(cell.Place, cell.CardCall)
		}
		for i, call := range card.Closing {
			add(fmt.Sprintf("end-%d", i+1), call)
		}
		return out, nil
	}
	var got []bool
	for _, answer := range c.Way {
		switch {
		case answer != "" && strings.HasPrefix("got", answer):
			got = append(got, true)
		case answer != "" && strings.HasPrefix("lost", answer):
			got = append(got, false)
		default:
			return nil, fault.Usage("--way: %q is no answer; write got or lost, with commas between", answer)
		}
	}
	if most := card.Branchings(); len(got) > most {
		return nil, fault.Usage("--way has %d answers, but the card branches only %d times", len(got), most)
	}
	calls, _ := card.Follow(got)
	for _, call := range calls {
		add("", call)
	}
	return out, nil
}

// card reads a card, or makes one from a bank.
func (c *Sound) card(con *console.Console) (*plan.Card, error) {
	o := plan.CardOptions{Calls: CardCalls, Tempo: c.Tempo}
	if c.Card == console.Starter {
		return cardFrom(bank.Starter(), o)
	}
	data, err := con.ReadAll(c.Card)
	if err != nil {
		return nil, err
	}
	if !bytes.HasPrefix(bytes.TrimSpace(data), []byte("{")) { // no JSON
		called, err := con.Loader().Bank(naming.Display(c.Card), data)
		if err != nil {
			return nil, err
		}
		return cardFrom(called, o)
	}
	card, err := plan.ReadCard(data)
	if err != nil {
		return nil, fault.Input(c.Card, err)
	}
	return card, nil
}

// cardFrom makes a card from a bank.
func cardFrom(called *bank.Bank, o plan.CardOptions) (*plan.Card, error) {
	model := difficulty.DefaultModel()
	o.Model = patterns.Anchor(model, called)
	card, err := plan.NewCard(patterns.GradeBank(model, called), o)
	if err != nil {
		return nil, fmt.Errorf("making the card: %w", err)
	}
	return card, nil
}

// title names a call in a list.
func (c cued) title() string {
	text := cmp.Or(c.name, c.phrase.Written())
	if c.id != "" && c.id != c.name {
		text += " (" + c.id + ")"
	}
	return text
}

// ids are the phrases of the calls as score --order takes them, none where a call is in no bank.
func ids(calls []cued, repeat int) []string {
	var out []string
	for _, call := range calls {
		if call.id == "" {
			return nil
		}
		out = append(out, slices.Repeat([]string{call.id}, repeat)...)
	}
	return out
}
