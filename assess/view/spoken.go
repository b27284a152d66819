package view

import (
	"strings"

	"clapladder.example/assess/view/internal/wording"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// Mark is a sign under the box where something in a phrase is worth a look.
type Mark struct {
	Step int    // of the phrase's grid
	Sign string // one or two characters
}

// Spoken draws a phrase in boxes with the words to say it by below, and marks below those. Words of
// silent boxes are in parentheses. As many bars stand beside each other as fit the style; where two
// marks fall on one box the first counts.
func Spoken(p rhythm.Phrase, system spoken.System, marks []Mark, s Style) []string {
	words := map[int]string{}
	for _, w := range spoken.Line(p, system) {
		words[w.Step] = w.Text
		if !w.Sounded {
			words[w.Step] = "(" + w.Text + ")"
		}
	}
	signs := map[int]string{}
	for _, m := range marks {
		if _, taken := signs[m.Step]; !taken {
			signs[m.Step] = m.Sign
		}
	}
	var out []string
	var row spokenRow
	perBar := p.Meter().Beats()
	for bar := range p.Bars() {
		next := spokenBar(p, bar*perBar, perBar, words, signs)
		if row.width() > 0 && row.width()+3+next.width() > s.width()-4 {
			out = append(out, row.lines()...)
			row = spokenRow{}
		}
		if row.width() > 0 {
			row.add(s.or(" │ ", " | "), "", "")
		}
		row.add(next.boxes, next.words, next.signs)
	}
	return append(out, row.lines()...)
}

// spokenRow is three lines that keep their columns.
type spokenRow struct{ boxes, words, signs string }

func (r *spokenRow) width() int { return wording.Width(r.boxes) }

// add puts the next column behind the row.
func (r *spokenRow) add(box, word, sign string) {
	width := max(wording.Width(box), wording.Width(word), wording.Width(sign))
	r.boxes += wording.Pad(box, width)
	r.words += wording.Pad(word, width)
	r.signs += wording.Pad(sign, width)
}

func (r *spokenRow) lines() []string {
	lines := []string{strings.TrimRight(r.boxes, " ")}
	for _, line := range []string{r.words, r.signs} {
		if line = strings.TrimRight(line, " "); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// spokenBar lays out the beats of one bar.
func spokenBar(p rhythm.Phrase, from, beats int, words, signs map[int]string) *spokenRow {
	row := &spokenRow{}
	starts := p.BeatSteps()
	for i := from; i < from+beats; i++ {
		if i > from {
			row.add("  ", "", "")
		}
		n := p.WrittenBoxes(i)
		length := starts[i+1] - starts[i]
		for n < length && hasWordBetween(words, starts[i], length, n) {
			n++
			for length%n != 0 {
				n++
			}
		}
		for k, letter := range p.Boxes(i, n) {
			if k > 0 {
				row.add(" ", "", "")
			}
			if k*length%n != 0 { // finer than the phrase is
				row.add(string(letter), "", "")
				continue
			}
			step := starts[i] + k*length/n
			row.add(string(letter), words[step], signs[step])
		}
	}
	return row
}

// hasWordBetween reports whether a word of the beat falls between n boxes.
func hasWordBetween(words map[int]string, start, length, n int) bool {
	for step := start; step < start+length; step++ {
		if _, ok := words[step]; ok && (step-start)*n%length != 0 {
			return true
		}
	}
	return false
}
