package view

import (
	"math"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/rhythm"
)

// box is one equal division of a beat, with what was heard in it.
type box struct {
	letter byte    // of the notation; '.' where the phrase has nothing
	note   bool    // the phrase has a stroke here
	added  bool    // not in the notation: it is there for what was clapped in it
	heard  bool    // the box has a participation
	share  float64 // 0 to 1
	offset float64 // of the clap from its place, seconds; 0 where unknown
}

// beat is the boxes of one beat, all of one length.
type beat []box

// grid is a phrase in boxes: bars of beats.
type grid [][]beat

// phraseGrid lays out a phrase alone.
func phraseGrid(p rhythm.Phrase) grid {
	perBar := p.Meter().Beats()
	g := make(grid, p.Bars())
	for i := range p.Beats() {
		var b beat
		for _, letter := range p.Boxes(i, p.WrittenBoxes(i)) {
			b = append(b, box{letter: letter, note: letter != '.'})
		}
		g[i/perBar] = append(g[i/perBar], b)
	}
	return g
}

// roundGrid lays out a round. Beats get more boxes than the phrase needs where an extra clap falls
// between them. It fails where the notation of the round can't be read.
func roundGrid(r assess.Round) (grid, rhythm.Phrase, error) {
	phrase, err := parse(r.Notation, r.Meter)
	if err != nil {
		return nil, phrase, err
	}
	perBar := phrase.Meter().Beats()
	extras := make(map[int][]assess.Extra)
	for _, x := range r.Extras {
		at := (x.Bar-1)*perBar + int(math.Floor(x.Beat)) - 1
		if x.Bar >= 1 && at >= 0 && at < phrase.Beats() && x.Time > 0 {
			extras[at] = append(extras[at], x)
		}
	}
	g := make(grid, phrase.Bars())
	for i := range phrase.Beats() {
		written := phrase.WrittenBoxes(i)
		n := division(written, extras[i])
		var b beat
		for k, letter := range phrase.Boxes(i, n) {
			b = append(b, box{letter: letter, note: letter != '.', added: k*written%n != 0})
		}
		for _, x := range extras[i] {
			at := min(n-1, int(math.Round(fraction(x.Beat)*float64(n))))
			if b[at].note { // beside a note rather than on it
				at = min(n-1, at+1)
			}
			if !b[at].note && x.Participation > b[at].share {
				b[at].heard, b[at].share = true, x.Participation
			}
		}
		g[i/perBar] = append(g[i/perBar], b)
	}
	g.fill(r)
	return g, phrase, nil
}

// fill puts the notes of a round into the boxes with strokes, in order.
func (g grid) fill(r assess.Round) {
	if r.Response == nil {
		return
	}
	k := 0
	for _, bar := range g {
		for _, b := range bar {
			for i := range b {
				if !b[i].note || k >= len(r.Notes) {
					continue
				}
				n := r.Notes[k]
				b[i].heard, b[i].share = true, n.Participation
				if n.Played != nil {
					b[i].offset = *n.Played - n.Expected
				}
				k++
			}
		}
	}
}

// division is the smallest multiple of n boxes on which extras fall. Where only finer ones than
// people count would hold them, the nearest box will do: two at least.
func division(n int, extras []assess.Extra) int {
	for m := n; m <= min(max(2*n, finestUsual), rhythm.MaxBoxesPerBeat); m += n {
		fits := true
		for _, x := range extras {
			at := fraction(x.Beat) * float64(m)
			fits = fits && math.Abs(at-math.Round(at)) < 0.1*float64(m)/float64(n)
		}
		if fits {
			return m
		}
	}
	return max(n, 2)
}

// finestUsual is how many boxes a beat is usually counted in at most.
const finestUsual = 4

func fraction(x float64) float64 { return x - math.Floor(x) }

// text is the boxes as the notation writes them, and below each how much of the group was heard.
// Bars that do not fit the columns go on to the next pair of lines. marks is the second line alone
// where nothing was heard.
func (g grid) text(s Style, columns int) (lines []string) {
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
			line, mark := b.text(s)
			heard = heard || strings.TrimSpace(mark) != ""
			l, m = append(l, line), append(m, mark)
		}
		width := textWidth(strings.Join(l, " "))
		if letters.Len() > 0 && textWidth(letters.String())+len(space)+width > columns {
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

// text is the letters of a beat and, below, the height of each box.
func (b beat) text(s Style) (letters, marks string) {
	for _, x := range b {
		letter := string(x.letter)
		if x.added {
			letter = " " // the notation stays the leader's own
		}
		letters += letter
		marks += x.mark(s)
	}
	return letters, marks
}

var heights = []string{"▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"}

// mark is the share of a box in one character: a block as high as the share, or a digit for its
// tenths. A note that next to nobody clapped is a dot.
func (x box) mark(s Style) string {
	switch {
	case !x.heard:
		return " "
	case x.share < 0.05:
		return s.or("·", "0")
	case s.Unicode:
		return heights[min(7, int(x.share*8))]
	}
	return string('0' + byte(min(9, int(math.Round(x.share*10)))))
}
