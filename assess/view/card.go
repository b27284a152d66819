package view

import (
	"bufio"
	"fmt"
	"io"

	"clapladder.example/assess/plan"
	"clapladder.example/rhythm/spoken"
)

// CardText writes a warm-up card as plain text, each call with its boxes and the words to say it by. The error is that of w.
func CardText(w io.Writer, c *plan.Card, system spoken.System, s Style) error {
	out := bufio.NewWriter(w)
	t := cardText{reportText{out: out, style: s}, system}
	t.line(s.Bold(cardTitle(c)))
	t.para("", cardHow)
	t.heading("Begin with")
	for i, call := range c.Opening {
		t.call(fmt.Sprintf("%d. ", i+1), call, "")
	}
	t.heading("Then follow the answers")
	for i, cell := range c.Branch {
		if i > 0 && cell.Row != c.Branch[i-1].Row {
			t.line("")
		}
		ways := fmt.Sprintf("got %s %s, lost %s %s", s.or("→", "->"), cell.Got, s.or("↓", "->"), cell.Lost)
		t.call(cell.Place+"  ", cell.CardCall, ways)
	}
	t.heading("Where you come out")
	table := Table{Columns: []Column{{}, {}, {Wrap: true}}}
	for _, e := range c.Ends {
		table.Rows = append(table.Rows, []string{e.Place, endTier(e), endDoubt(e)})
	}
	out.WriteString(table.Text(s))
	t.heading("End on")
	for _, call := range c.Closing {
		t.call("", call, "")
	}
	if len(c.Remarks) > 0 {
		t.heading("Please note")
		for _, text := range c.Remarks {
			t.para(s.Bullet(), text)
		}
	}
	return out.Flush()
}

// cardHow says how a card is used.
const cardHow = "Call each phrase once and listen to the answer. Most of them had it: go right. Less than half had it: go down. The phone may record meanwhile; nothing has to be pressed."

type cardText struct {
	reportText
	system spoken.System
}

// call writes one call in three lines.
func (t *cardText) call(head string, c plan.CardCall, ways string) {
	s := t.style
	name := head + c.Name
	if c.Name == "" {
		name = head + "Plain beats"
	}
	if c.Meter != "4/4" {
		name += " (" + c.Meter + ")"
	}
	ways = s.Plain(ways)
	room := s.width() - Width(ways)
	if ways != "" {
		room -= 2
		name = pad(cut(s.Plain(name), room, s.dots()), room) + "  " + ways
	} else {
		name = cut(s.Plain(name), room, s.dots())
	}
	t.line(name)
	for _, line := range Spoken(c.Rhythm, t.system, nil, s) {
		t.line("    " + line)
	}
}

func cardTitle(c *plan.Card) string {
	title := fmt.Sprintf("Warm-up card: %d calls", c.Calls())
	if c.Tempo > 0 {
		title += fmt.Sprintf(" at %s beats a minute", Number(c.Tempo, 1))
	}
	return title
}

func endTier(e plan.CardEnd) string {
	if e.Tier == 0 {
		return "below tier 1"
	}
	return tierName(e.Tier)
}

// endDoubt says how sure the tier at an end is.
func endDoubt(e plan.CardEnd) string {
	switch {
	case e.Low == e.High:
		return Chance(e.Chance)
	case e.Low == 0:
		return fmt.Sprintf("%s, at most tier %d", Chance(e.Chance), e.High)
	}
	return fmt.Sprintf("%s, tier %d to %d", Chance(e.Chance), e.Low, e.High)
}
