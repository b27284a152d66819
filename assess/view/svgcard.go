package view

import (
	"fmt"
	"io"
	"math"
	"strings"

	"clapladder.example/assess/plan"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// CardSVG writes a warm-up card as a picture in the shape of an A4 page on its long side, black on white. The error is that of
// w.
func CardSVG(w io.Writer, c *plan.Card, system spoken.System) error {
	_, err := io.WriteString(w, cardPicture(c, system)+"\n")
	return err
}

// Measures of the card, CSS pixels: A4 at 96 to the inch, less a margin for printers.
const (
	cardWidth  = 1070.0
	cardHeight = 742.0
	cardHead   = 92.0
	cardGap    = 13.0 // between cells, where the arrows are
	black      = "#000000"
)

// cardDrawing places cells: columns are calls that were got, rows calls that were lost.
type cardDrawing struct {
	svg
	system        spoken.System
	width, height float64 // of a cell without the gap
}

func cardPicture(c *plan.Card, system spoken.System) string {
	most := 0
	for _, cell := range c.Branch {
		most = max(most, cell.Row, cell.Column)
	}
	n := float64(most + 2) // the ends stand one step beyond
	d := cardDrawing{system: system}
	d.width = (cardWidth - cardGap*(n-1)) / n
	d.height = (cardHeight - cardHead - cardGap*(n-1)) / n
	d.head(c)
	for _, cell := range c.Branch {
		d.cell(cell)
	}
	for i, e := range c.Ends {
		d.end(e, len(c.Ends)-1-i, i)
	}
	d.foot(c, most)
	return d.document(cardWidth, cardHeight, cardTitle(c), "It follows in words.")
}

// at is the upper left corner of a cell.
func (d *cardDrawing) at(row, column int) (x, y float64) {
	return float64(column) * (d.width + cardGap), cardHead + float64(row)*(d.height+cardGap)
}

// head draws the title and the calls to begin with.
func (d *cardDrawing) head(c *plan.Card) {
	d.text(0, 18, 17, "start", black, cardTitle(c), "font-weight", "700")
	x, each := 0.0, math.Min(250, (cardWidth-300)/float64(max(1, len(c.Opening))))
	for i, call := range c.Opening {
		d.text(x, 38, 12.5, "start", black, fmt.Sprintf("%d. %s", i+1, cardName(call, int(each/7.4))), "font-weight", "600")
		d.phrase(call.Rhythm, x, 42, math.Min(each-24, 190), 40)
		x += each
		if i < len(c.Opening)-1 {
			d.arrowRight(x-18, 58)
		}
	}
	d.text(x, 60, 13, "start", black, "then A1", "font-weight", "700")
}

// cell draws one call with its ways on.
func (d *cardDrawing) cell(c plan.CardCell) {
	x, y := d.at(c.Row, c.Column)
	d.rect(x+0.5, y+0.5, d.width-1, d.height-1, "fill", "none", "stroke", black, "stroke-width", 1.0, "rx", 3.0)
	d.text(x+5, y+14, 13, "start", black, c.Place, "font-weight", "700")
	d.text(x+28, y+14, 10.5, "start", black, cardName(c.CardCall, int((d.width-32)/5.9)))
	d.phrase(c.Rhythm, x+5, y+18, d.width-10, d.height-20)
	d.arrowRight(x+d.width+1, y+d.height/2)
	d.arrowDown(x+d.width/2, y+d.height+1)
}

// end draws where a way comes out.
func (d *cardDrawing) end(e plan.CardEnd, row, column int) {
	x, y := d.at(row, column)
	d.rect(x+1, y+1, d.width-2, math.Min(d.height-2, 44), "fill", "none", "stroke", black, "stroke-width", 2.0, "rx", 10.0)
	d.text(x+d.width/2, y+20, 16, "middle", black, endTier(e), "font-weight", "700")
	d.text(x+d.width/2, y+36, 10.5, "middle", black, endDoubt(e))
}

// foot draws, where the card is empty, how to go on and what to end on.
func (d *cardDrawing) foot(c *plan.Card, most int) {
	x, _ := d.at(0, most-1)
	x = math.Max(x, cardWidth-330)
	y := cardHeight - 150.0
	d.arrowRight(x, y+3)
	d.text(x+18, y+8, 14, "start", black, "most had it: go right", "font-weight", "600")
	d.arrowDown(x+5, y+18)
	d.text(x+18, y+31, 14, "start", black, "less than half had it: go down", "font-weight", "600")
	y += 60
	d.text(x, y, 12.5, "start", black, "End on plain beats, whatever came before:", "font-weight", "600")
	for _, call := range c.Closing {
		d.phrase(call.Rhythm, x, y+6, 190, 36)
		break
	}
	d.text(x, cardHeight-8, 10.5, "start", black, "Quiet, seated and one-handed clapping counts. Pain: stop.")
}

// phrase draws boxes in a space, a line for a bar or two, with the words of its strokes below.
func (d *cardDrawing) phrase(p rhythm.Phrase, x, y, width, height float64) {
	lines := p.Bars()
	for lines > 2 || lines == 2 && p.Beats() <= 4 {
		lines = (lines + 1) / 2
	}
	perLine := (p.Bars() + lines - 1) / lines
	words := map[int]string{}
	for _, w := range spoken.Line(p, d.system) {
		if w.Sounded {
			words[w.Step] = w.Text
		}
	}
	const wordSpace, wordWidth = 10.0, 5.0 // wordWidth is of a letter; words that are too wide for their box are left out
	line := height / float64(lines)
	box := math.Min(34, line-wordSpace-2)
	unit := width / float64(perLine*p.BarSteps())
	unit = math.Min(unit, 31*float64(p.Beats())/float64(p.Steps())) // short phrases stay as wide as others
	starts := p.BeatSteps()
	perBar := p.Meter().Beats()
	for i := range p.Beats() {
		bar := i / perBar
		top := y + float64(bar/perLine)*line
		left := x + float64(starts[i]-bar/perLine*perLine*p.BarSteps())*unit
		n := p.BoxesPerBeat(i)
		length := starts[i+1] - starts[i]
		each := float64(length) * unit / float64(n)
		for k, letter := range p.Boxes(i, n) {
			d.cardBox(left+float64(k)*each, top, each, box, letter)
			if word := words[starts[i]+k*length/n]; word != "" && wordWidth*float64(len(word)) <= each+4 {
				d.text(left+(float64(k)+0.5)*each, top+box+9, 8.5, "middle", black, word)
			}
		}
		if i%perBar == 0 && bar%perLine > 0 {
			d.line(left, top-1.5, left, top+box+1.5, "stroke", black, "stroke-width", 2.0)
		}
	}
}

// cardBox draws one box: black for a clap, with a white letter for other sounds.
func (d *cardDrawing) cardBox(x, y, width, height float64, letter byte) {
	gap := math.Min(1.5, width/8)
	x, width = x+gap, width-2*gap
	if letter == '.' {
		d.rect(x, y+height-3, width, 3, "fill", "#767676")
		return
	}
	d.rect(x, y, width, height, "fill", black, "rx", 1.5)
	lower := letter | 0x20
	if lower != 'x' {
		d.text(x+width/2, y+height/2+4, math.Min(12, width+3), "middle", "#ffffff", string(lower))
	}
	if letter != lower { // accented
		d.rect(x, y-3, width, 2, "fill", black)
	}
}

func (d *cardDrawing) arrowRight(x, y float64) {
	d.add("path", "d", fmt.Sprintf("M%s %s h6 v-3.5 l5.5 4.5 l-5.5 4.5 v-3.5 h-6 z", pixels(x), pixels(y-1)), "fill", black)
}

func (d *cardDrawing) arrowDown(x, y float64) {
	d.add("path", "d", fmt.Sprintf("M%s %s v6 h-3.5 l4.5 5.5 l4.5 -5.5 h-3.5 v-6 z", pixels(x-1), pixels(y)), "fill", black)
}

// cardName is the name of a call in a number of characters, with the metre where it is not the usual one.
func cardName(c plan.CardCall, columns int) string {
	name := c.Name
	if name == "" {
		name = "Plain beats"
	}
	if meter, _, _ := strings.Cut(c.Meter, "="); meter != "4/4" { // the boxes show the groups
		meter = " " + meter
		return cut(name, max(4, columns-Width(meter)), "…") + meter
	}
	return cut(name, columns, "…")
}
