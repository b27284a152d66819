package view

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"clapladder.example/assess/plan"
	"clapladder.example/assess/view/internal/wording"
	"clapladder.example/rhythm/spoken"
)

// CardText writes a warm-up card as plain text, each call with its boxes and the words to say it
// by. The error is that of w.
func CardText(w io.Writer, c *plan.Card, system spoken.System, s Style) error {
	out := bufio.NewWriter(w)
	t := cardText{reportText{out: out, style: s}, system}
	t.line(s.Bold(wording.CardTitle(c)))
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
		right, down := s.or("→", "->"), s.or("↓", "->")
		ways := fmt.Sprintf("got %s %s, lost %s %s", right, cell.Got, down, cell.Lost)
		t.call(cell.Place+"  ", cell.CardCall, ways)
	}
	t.heading("Where you come out")
	table := Table{Columns: []Column{{}, {}, {Wrap: true}}}
	for _, e := range c.Ends {
		table.Rows = append(table.Rows, []string{e.Place, wording.EndTier(e), wording.EndDoubt(e)})
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
	name, ways := s.Plain(wording.CallName(c)+" ("+wording.CallPace(c)+")"), s.Plain(ways)
	lines := wording.Wrap(name, s.width()-wording.Width(head))
	for i, line := range lines {
		if i > 0 {
			head = strings.Repeat(" ", wording.Width(head))
		}
		lines[i] = head + line
	}
	last := len(lines) - 1
	if wording.Width(lines[last])+2+wording.Width(ways) > s.width() {
		lines, last = append(lines, ""), last+1
	}
	if ways != "" {
		lines[last] = wording.Pad(lines[last], s.width()-wording.Width(ways)) + ways
	}
	for _, line := range lines {
		t.line(line)
	}
	for _, line := range Spoken(c.Rhythm, t.system, nil, s) {
		t.line("    " + line)
	}
}
