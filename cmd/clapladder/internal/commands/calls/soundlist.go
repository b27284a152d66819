package calls

import (
	"fmt"
	"strings"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/rhythm/sound"
)

// list says what lies where in a sequence, and how to score a recording of it.
func (c *Sound) list(con *console.Console, calls []cued, s *sound.Sequence) {
	table := view.Table{Columns: []view.Column{
		{Title: "CALL", Right: true},
		{Title: "ANSWER", Right: true},
		{Title: "PHRASE", Wrap: true},
		{Title: "PULSE"},
	}}
	call := 0.0
	for _, section := range s.Sections() {
		switch section.Role {
		case "call":
			call = section.Start
		case "gap", "answer":
			p := section.Phrase
			table.Rows = append(table.Rows, []string{
				clock(call), clock(section.Start), con.Style.Plain(calls[section.Index].title()),
				fmt.Sprintf("%s at %s", p.Meter(), view.Number(p.Tempo(), 1)),
			})
		}
	}
	con.Out(table.Text(con.Style))
	length := fmt.Sprintf("%s s in all", console.Decimal(s.Seconds(), 1))
	if s.Seconds() >= 60 {
		length = durationWords(s.Seconds()) + " in all"
	}
	con.Print(length)
	if order := ids(calls, c.Repeat); len(calls) > 1 && len(order) > 0 && !c.Answer && !c.Click {
		bank := ""
		if c.Bank != "" {
			bank = " --bank " + naming.ShellWord(c.Bank)
		}
		con.Print("\nRecord the group's answers, and then:\n\n    " + naming.Program + " score RECORDING" +
			bank + " --order " + strings.Join(order, ","))
	}
}

// clock is a place in a recording: minutes, seconds and tenths.
func clock(seconds float64) string {
	tenths := int(seconds*10 + 0.5)
	return fmt.Sprintf("%d:%02d.%d", tenths/600, tenths/10%60, tenths%10)
}
