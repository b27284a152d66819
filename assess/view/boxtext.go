package view

import (
	"math"
	"strings"

	"clapladder.example/assess/view/internal/boxes"
	"clapladder.example/assess/view/internal/wording"
)

// gridText is the boxes as the notation writes them, and below each how much of the group was
// heard. Bars that do not fit the columns go on to the next pair of lines. marks is the second line
// alone where nothing was heard.
func gridText(g boxes.Grid, s Style, columns int) (lines []string) {
	bar := s.or(" │ ", " | ")
	space := "   "
	var letters, marks strings.Builder
	heard := false
	flush := func() {
		lines = append(lines, letters.String())
		if heard {
			lines = append(lines, strings.TrimRight(marks.String(), " "))
		}
		letters.Reset()
		marks.Reset()
	}
	for _, beats := range g {
		var l, m []string
		for _, b := range beats {
			line, mark := beatText(b, s)
			heard = heard || strings.TrimSpace(mark) != ""
			l, m = append(l, line), append(m, mark)
		}
		width := wording.Width(strings.Join(l, " "))
		if letters.Len() > 0 && wording.Width(letters.String())+len(space)+width > columns {
			flush()
		}
		if letters.Len() > 0 {
			letters.WriteString(bar)
			marks.WriteString(space)
		}
		letters.WriteString(strings.Join(l, " "))
		marks.WriteString(strings.Join(m, " "))
	}
	flush()
	return lines
}

// beatText is the letters of a beat and, below, the height of each box.
func beatText(b boxes.Beat, s Style) (letters, marks string) {
	for _, x := range b {
		letter := string(x.Letter)
		if x.Added {
			letter = " " // the notation stays the leader's own
		}
		letters += letter
		marks += mark(x, s)
	}
	return letters, marks
}

var heights = []string{"▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"}

// mark is the share of a box in one character: a block as high as the share, or a digit for its
// tenths. A note that next to nobody clapped is a dot.
func mark(x boxes.Box, s Style) string {
	switch {
	case !x.Heard:
		return " "
	case x.Share < 0.05:
		return s.or("·", "0")
	case s.Unicode:
		return heights[min(7, int(x.Share*8))]
	}
	return string('0' + byte(min(9, int(math.Round(x.Share*10)))))
}
