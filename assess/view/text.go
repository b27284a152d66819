package view

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/patterns"
	"clapladder.example/rhythm"
)

// Text writes a report for a leader in a break. The first three lines say which tier and how sure, what to open with and
// what to fall back to; where no tier is stated they say what to do instead. The error is that of w.
func Text(w io.Writer, r *assess.Report, s Style) error {
	out := bufio.NewWriter(w)
	t := reportText{out: out, style: s, report: r, hinted: map[string]bool{}}
	t.headline()
	t.suggestions()
	t.rounds()
	t.group()
	t.warnings()
	return out.Flush()
}

type reportText struct {
	out    *bufio.Writer
	style  Style
	report *assess.Report
	hinted map[string]bool // hints that were given already
}

func (t *reportText) line(text string) { t.out.WriteString(strings.TrimRight(text, " ") + "\n") }

// para writes text under a hanging indent: head stands in the first line, what follows below its end.
func (t *reportText) para(head, text string) {
	indent := Width(head)
	for i, line := range wrap(text, t.style.width()-indent) {
		if i == 0 {
			t.line(head + line)
		} else {
			t.line(strings.Repeat(" ", indent) + line)
		}
	}
}

func (t *reportText) heading(text string) {
	t.line("")
	t.line(t.style.bold(text))
}

// headWidth is the width of the labels of the first lines.
const headWidth = len("Fall back to  ")

func (t *reportText) label(name, text string) {
	t.line(t.style.bold(pad(name, headWidth)) + cut(text, t.style.width()-headWidth, t.style.dots()))
}

// headline writes the three lines that matter.
func (t *reportText) headline() {
	h := headlineOf(t.report)
	t.label(h.tierLabel, h.tier)
	t.label(h.openLabel, h.open)
	t.label(h.backLabel, h.back)
}

// suggestions writes every suggestion with its reason.
func (t *reportText) suggestions() {
	if len(t.report.Openers) == 0 {
		return
	}
	t.heading("What to play")
	table := Table{Columns: []Column{{}, {}, {}, {Align: Right}, {Wrap: true}}}
	for _, o := range t.report.Openers {
		table.Rows = append(table.Rows, []string{role(o.Role), title(o), tierName(o.Tier), Chance(o.Chance), o.Why})
	}
	t.out.WriteString(table.Text(t.style))
	t.para("", fmt.Sprintf("The per cent are the chance that at least %.0f %% of the group manage it.", 100*t.report.Group.Comfort))
}

// rounds writes what came back, call by call.
func (t *reportText) rounds() {
	if len(t.report.Rounds) == 0 {
		return
	}
	t.heading("Round by round")
	t.line(t.style.faint(t.style.or(
		"Under each box: how much of the group was heard, ▁ few to █ all, · nobody.",
		"Under each box: how much of the group was heard, in tenths; 9 is nearly all.")))
	for i, r := range t.report.Rounds {
		t.line("")
		t.round(i+1, r)
	}
}

func (t *reportText) round(number int, r assess.Round) {
	indent := "    "
	left := fmt.Sprintf("%2d  %s", number, roundName(r))
	right := tierName(patterns.TierOf(r.Difficulty)) + "  " + pad(roundResult(r), len("next to nobody got it"))
	room := t.style.width() - Width(right) - 2
	t.line(pad(cut(left, room, t.style.dots()), room) + "  " + right)
	g, _, err := roundGrid(r)
	if err != nil { // a report from elsewhere
		t.line(indent + r.Notation)
	} else {
		for _, line := range g.text(t.style, t.style.width()-len(indent)) {
			t.line(indent + line)
		}
	}
	t.line(indent + t.style.faint(roundPlace(r, t.style)))
	for _, e := range shownErrors(r) {
		t.para(indent+t.style.or("• ", "- "), capital(e.Text)+".")
		if e.Hint != "" && !t.hinted[e.Hint] {
			t.hinted[e.Hint] = true
			t.para(indent+"  Try: ", e.Hint)
		}
	}
}

// group writes what the rounds say together.
func (t *reportText) group() {
	g := t.report.Group
	if g.Ability == nil && g.Pulse == nil && t.report.NextCall == nil {
		return
	}
	t.heading("The group")
	if g.Ability != nil {
		text := "Level " + strconv.FormatFloat(*g.Ability, 'f', 1, 64)
		if g.AbilityInterval != nil {
			text += fmt.Sprintf(" (90 %%: %.1f to %.1f)", g.AbilityInterval[0], g.AbilityInterval[1])
		}
		text += " from " + count(g.UsableRounds, "usable round")
		if g.Mix != nil {
			text += "; " + mixText(*g.Mix)
		}
		t.para("", text+".")
	}
	if text := pulseAndPattern(g); text != "" {
		t.para("", text)
	}
	if n := t.report.NextCall; n != nil {
		t.para("", "If you can, call next: "+nextCallText(*n))
		for _, line := range notationLines(n.Notation, n.Meter, t.style, t.style.width()-4) {
			t.line("    " + line)
		}
	}
}

// warnings writes what is doubtful, and the caution that stands beside every result.
func (t *reportText) warnings() {
	t.heading("Please note")
	for _, w := range t.report.Warnings {
		t.para(t.style.or("• ", "- "), w.Text)
	}
	t.para(t.style.or("• ", "- "), Caution)
}

// Boxes draws a phrase in boxes, one line for as many bars as fit the style.
func Boxes(p rhythm.Phrase, s Style) []string { return phraseGrid(p).text(s, s.width()-4) }
