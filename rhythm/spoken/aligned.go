package spoken

import (
	"strings"

	"clapladder.example/rhythm"
)

// Aligned sets the words under the boxes: two lines for a monospace face, each word beginning under
// its box. Boxes of a beat are one space apart, beats three; bars are separated by "|" in both
// lines. Words of silent boxes stand in parentheses. Neither line has a line break or trailing
// white space; both are empty for the zero phrase.
//
//	x   . x     x   . x
//	1   (2) &   3   (4) &
func Aligned(p rhythm.Phrase, s System) (boxes, words string) {
	var top, bottom strings.Builder
	perBar := p.Meter().Beats()
	for i := range p.Beats() {
		if i > 0 {
			separator := "   "
			if i%perBar == 0 {
				separator = "   |   "
			}
			top.WriteString(separator)
			bottom.WriteString(separator)
		}
		for j, box := range beatOf(p, i, s) {
			word := box.Text
			if word != "" && !box.Sounded {
				word = "(" + word + ")"
			}
			if j > 0 {
				top.WriteByte(' ')
				bottom.WriteByte(' ')
			}
			width := max(1, len(word)) // all words are ASCII
			top.WriteByte(box.letter)
			top.WriteString(strings.Repeat(" ", width-1))
			bottom.WriteString(word)
			bottom.WriteString(strings.Repeat(" ", width-len(word)))
		}
	}
	return strings.TrimRight(top.String(), " "), strings.TrimRight(bottom.String(), " ")
}
