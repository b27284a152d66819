package view

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"clapladder.example/assess/plan"
	"clapladder.example/rhythm/spoken"
)

// CardText writes a warm-up card as plain text, each call with its boxes and the words to say it
// by. The error is that of w.
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
const cardHow = "Call each phrase once and listen to the answer. If most had it, go right; if " +
	"fewer than half had it, go down. A phone may record meanwhile; nothing has to be pressed."

type cardText struct {
	reportText
	system spoken.System
}

// call writes one call: what it is called and how it goes on, its boxes, its words. Names are there
// to be spoken, so they are never cut.
func (t *cardText) call(head string, c plan.CardCall, ways string) {
	s := t.style
	name, ways := s.Plain(callName(c)+" ("+callPace(c)+")"), s.Plain(ways)
	lines := wrap(name, s.width()-textWidth(head))
	for i, line := range lines {
		if i > 0 {
			head = strings.Repeat(" ", textWidth(head))
		}
		lines[i] = head + line
	}
	last := len(lines) - 1
	if textWidth(lines[last])+2+textWidth(ways) > s.width() {
		lines, last = append(lines, ""), last+1
	}
	if ways != "" {
		lines[last] = pad(lines[last], s.width()-textWidth(ways)) + ways
	}
	for _, line := range lines {
		t.line(line)
	}
	for _, line := range Spoken(c.Rhythm, t.system, nil, s) {
		t.line("    " + line)
	}
}

// callName is the name of a call, to be spoken in its rhythm.
func callName(c plan.CardCall) string {
	if c.Name == "" {
		return "Plain beats"
	}
	return c.Name
}

// callPace is the tempo of a call, with its metre where that is not the usual one.
func callPace(c plan.CardCall) string {
	pace := "at " + Number(c.Tempo, 0)
	if meter, _, _ := strings.Cut(c.Meter, "="); meter != "4/4" { // the boxes show the groups
		pace = meter + " " + pace
	}
	return pace
}

func cardTitle(c *plan.Card) string {
	title := fmt.Sprintf("Warm-up card: %d calls", c.Calls())
	if c.Tempo > 0 {
		title += fmt.Sprintf(" at %s beats a minute", Number(c.Tempo, 1))
	}
	return title
}

// endTiers are the first and the last tier that an end stands for.
func endTiers(e plan.CardEnd) (from, to int) {
	if e.To < e.Tier || e.From > e.Tier { // a card from elsewhere
		return e.Tier, e.Tier
	}
	return e.From, e.To
}

func endTier(e plan.CardEnd) string {
	from, to := endTiers(e)
	switch {
	case to == 0:
		return "below tier 1"
	case from == to:
		return tierName(to)
	case to == len(e.Chances)-1:
		return tierName(from) + " or above"
	case to == from+1:
		return fmt.Sprintf("%s or %d", tierName(from), to)
	}
	return fmt.Sprintf("%s to %d", tierName(from), to)
}

// endDoubt says how sure the tiers at an end are.
func endDoubt(e plan.CardEnd) string {
	chance := e.Chance
	if from, to := endTiers(e); to < len(e.Chances) && from < to {
		chance = 0
		for _, c := range e.Chances[from : to+1] {
			chance += c
		}
	}
	switch {
	case e.Low == e.High:
		return Chance(chance)
	case e.Low == 0:
		return fmt.Sprintf("%s, at most tier %d", Chance(chance), e.High)
	}
	return fmt.Sprintf("%s, tier %d to %d", Chance(chance), e.Low, e.High)
}
