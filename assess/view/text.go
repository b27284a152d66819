package view

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/plan"
	"clapladder.example/assess/view/internal/boxes"
	"clapladder.example/assess/view/internal/wording"
	"clapladder.example/patterns/tierscale"
)

// Text writes a report for a leader in a break. The first three lines say which tier and how sure,
// what to open with and what to fall back to; where no tier is stated they say what to do instead.
// The error is that of w.
func Text(w io.Writer, r *assess.Report, s Style) error {
	out := bufio.NewWriter(w)
	t := reportText{out: out, style: s, report: r, hinted: map[string]bool{}}
	t.headline()
	if len(r.Openers) > 0 {
		t.heading("What to play")
		t.suggestions(r.Openers, r.Group.Comfort)
	}
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

func (t *reportText) para(head, text string) {
	for _, line := range t.style.Para(head, text) {
		t.line(line)
	}
}

// aside writes text that matters less.
func (t *reportText) aside(head, text string) {
	for _, line := range t.style.Para(head, text) {
		t.line(t.style.faint(line))
	}
}

func (t *reportText) heading(text string) {
	t.line("")
	t.line(t.style.Bold(text))
}

// headWidth is the width of the labels of the first lines.
const headWidth = len("Fall back to  ")

func (t *reportText) label(name, text string) {
	t.line(t.style.Bold(wording.Pad(name, headWidth)) +
		wording.Cut(t.style.Plain(text), t.style.width()-headWidth, t.style.dots()))
}

// headline writes the three lines that matter.
func (t *reportText) headline() {
	h := headlineOf(t.report)
	t.label(h.TierLabel, h.Tier)
	t.label(h.OpenLabel, h.Open+" "+h.OpenMore)
	t.label(h.BackLabel, h.Back+" "+h.BackMore)
}

// Openers writes suggestions from the repertoire, the main choice first. comfort is the share of
// the group, 0 to 1, that their chances are about. The error is that of w.
func Openers(w io.Writer, openers []assess.Opener, comfort float64, s Style) error {
	out := bufio.NewWriter(w)
	t := reportText{out: out, style: s}
	t.suggestions(openers, comfort)
	return out.Flush()
}

// suggestions writes every suggestion with its reason, and below it what to do where it fails.
func (t *reportText) suggestions(openers []assess.Opener, comfort float64) {
	indent := strings.Repeat(" ", headWidth)
	for _, o := range chosen(openers) {
		t.suggestion(t.style.Bold(wording.Pad(role(o.Role), headWidth)), o, title(o))
		t.para(indent, wording.Capital(o.Why)+".")
		if f, ok := fallbackFor(openers, o.Role); ok {
			name := title(f)
			if f.Piece == o.Piece && f.Part != "" {
				name = f.Part
			}
			t.suggestion(indent+"if lost: ", f, name)
		}
	}
	t.para("", fmt.Sprintf("The percentages are the chance that at least %.0f %% of the group "+
		"manage it.", 100*comfort))
}

// suggestion writes one line, the chance at its end. The head may hold escape sequences, so its
// width is that of a label.
func (t *reportText) suggestion(head string, o assess.Opener, name string) {
	right := Chance(o.Chance)
	used := headWidth
	if o.Role == plan.Fallback {
		used = wording.Width(head)
	}
	room := t.style.width() - used - len("over 99 %") - 2
	text := fmt.Sprintf("%s (%s)", name, wording.TierName(o.Tier))
	if boxes := text + ": " + o.Notation; o.Part != "" && o.Notation != "" && wording.Width(boxes) <= room {
		text = boxes
	}
	t.line(head + wording.Pad(wording.Cut(t.style.Plain(text), room, t.style.dots()), room) + "  " +
		wording.PadLeft(right, len("over 99 %")))
}

// rounds writes what came back, call by call.
func (t *reportText) rounds() {
	if len(t.report.Rounds) == 0 {
		return
	}
	t.heading("Round by round")
	t.aside("", t.style.or(
		"Under each box: how much of the group was heard, ▁ few to █ all, · nobody.",
		"Under each box: how much of the group was heard, in tenths; 9 is nearly all."))
	for i, r := range t.report.Rounds {
		t.line("")
		t.round(i+1, r)
	}
}

func (t *reportText) round(number int, r assess.Round) {
	indent := "    "
	left := fmt.Sprintf("%2d  %s", number, wording.RoundName(r))
	result := wording.Pad(wording.RoundResult(r), len("next to nobody got it"))
	right := wording.TierName(tierscale.Tier(r.Difficulty)) + "  " + result
	room := t.style.width() - wording.Width(right) - 2
	t.line(wording.Pad(wording.Cut(t.style.Plain(left), room, t.style.dots()), room) + "  " + right)
	g, _, err := boxes.OfRound(r)
	if err != nil { // a report from elsewhere
		t.line(indent + r.Notation)
	} else {
		for _, line := range gridText(g, t.style, t.style.width()-len(indent)) {
			t.line(indent + line)
		}
	}
	t.aside(indent, roundPlace(r, t.style))
	for _, e := range shownErrors(r) {
		t.para(indent+t.style.Bullet(), wording.Capital(e.Text)+".")
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
		t.para("", wording.LevelText(g))
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
	for _, note := range notes(t.report) {
		t.para(t.style.Bullet(), note)
	}
	t.para(t.style.Bullet(), Caution)
}
