package picture

import (
	"fmt"
	"math"
	"strings"

	"clapladder.example/assess/plan"
	"clapladder.example/assess/view/internal/wording"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// Measures of the card, CSS pixels: A4 at 96 to the inch, less a margin for printers.
const (
	cardWidth  = 1070.0
	cardHeight = 742.0
	cardHead   = 92.0
	cardGap    = 13.0 // between cells, where the arrows are
	cardFoot   = 150.0
	black      = "#000000"

	nameSize  = 9.5  // of a name in a cell: 7 points on A4
	nameLine  = 11.0 // from one line of it to the next
	nameLines = 2
	letter    = 0.58 // width of a letter over its size, mean of a broad face
	bold      = 0.68 // of a bold one
)

// cardDrawing places cells: columns are calls that were got, rows calls that were lost.
type cardDrawing struct {
	svg
	system        spoken.System
	width, height float64  // of a cell without the gap
	aside         []string // names that are too long for their cells
}

// Card is a warm-up card in the shape of an A4 page on its long side, black on white.
func Card(c *plan.Card, system spoken.System, title string) string {
	depth := c.Branchings()
	n := float64(depth + 1) // the ends stand one step beyond
	d := cardDrawing{system: system}
	d.width = (cardWidth - cardGap*(n-1)) / n
	d.height = (cardHeight - cardHead - cardGap*(n-1)) / n
	d.head(c, title)
	for _, cell := range c.Branch {
		d.cell(cell)
	}
	d.ends(c, depth)
	d.foot(c, depth)
	return d.document(cardWidth, cardHeight, title, "It follows in words.")
}

// at is the upper left corner of a cell.
func (d *cardDrawing) at(row, column int) (x, y float64) {
	return float64(column) * (d.width + cardGap), cardHead + float64(row)*(d.height+cardGap)
}

// fitted writes a line of text, smaller where it would not fit.
func (d *cardDrawing) fitted(x, y, size, width float64, text string) {
	d.text(x, y, fit(size, width, letter, text), "start", black, text)
}

func (d *cardDrawing) fittedBold(x, y, size, width float64, text string) {
	d.text(x, y, fit(size, width, bold, text), "start", black, text, "font-weight", "700")
}

// fit is the size at which a text is no wider than a width.
func fit(size, width, letter float64, text string) float64 {
	return math.Min(size, width/(letter*float64(max(1, wording.Width(text)))))
}

// head draws the title and the calls to begin with.
func (d *cardDrawing) head(c *plan.Card, title string) {
	d.fittedBold(0, 18, 17, cardWidth, title)
	x, each := 0.0, math.Min(270, (cardWidth-100)/float64(max(1, len(c.Opening))))
	for i, call := range c.Opening {
		name := fmt.Sprintf("%d. %s (%s)", i+1, wording.CallName(call), wording.CallPace(call))
		d.fittedBold(x, 38, 12.5, each-24, name)
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
	d.rect(x+0.5, y+0.5, d.width-1, d.height-1, "fill", "none", "stroke", black, "stroke-width",
		1.0, "rx", 3.0)
	d.text(x+5, y+14, 13, "start", black, c.Place, "font-weight", "700")
	d.text(x+d.width-5, y+13, 10.5, "end", black, wording.CallPace(c.CardCall))
	top := y + 18
	lines := wording.Wrap(wording.CallName(c.CardCall), int((d.width-10)/(letter*nameSize)))
	if len(lines) > nameLines || d.height-20-nameLine*float64(len(lines)) < 24 {
		d.aside = append(d.aside, c.Place+"  "+wording.CallName(c.CardCall))
		lines = nil
	}
	for _, line := range lines {
		d.text(x+5, top+8, nameSize, "start", black, line)
		top += nameLine
	}
	d.phrase(c.Rhythm, x+5, top+1, d.width-10, y+d.height-3-top)
	d.arrowDown(x+d.width/2, y+d.height+1)
	if !strings.HasPrefix(c.Got, "end ") {
		d.arrowRight(x+d.width+1, y+d.height/2)
	}
}

// ends draws where the ways come out. Who comes from above and who comes from the left stand one
// above the other where they end apart.
func (d *cardDrawing) ends(c *plan.Card, depth int) {
	byName := map[string]plan.CardEnd{}
	for _, e := range c.Ends {
		byName[e.Place] = e
	}
	above, left := make([]string, depth+1), make([]string, depth+1) // by column
	for _, cell := range c.Branch {
		if cell.Row+cell.Column == depth-1 {
			above[cell.Column], left[cell.Column+1] = cell.Lost, cell.Got
		}
	}
	for column := range depth + 1 {
		x, y := d.at(depth-column, column)
		arrow := y + d.height/2
		switch from, to := byName[above[column]], byName[left[column]]; {
		case above[column] == "":
			d.end(to, x, y, d.height)
		case left[column] == "" || left[column] == above[column]:
			d.end(from, x, y, d.height)
		default:
			d.end(from, x, y, d.height/2-1)
			d.end(to, x, y+d.height/2+1, d.height/2-1)
			arrow = y + 3*d.height/4
		}
		if left[column] != "" {
			d.arrowRight(x-cardGap+1, arrow)
		}
	}
}

// end draws one end, with its number in the list.
func (d *cardDrawing) end(e plan.CardEnd, x, y, height float64) {
	d.rect(x+1, y+1, d.width-2, height-2, "fill", "none", "stroke", black, "stroke-width", 2.0, "rx", 8.0)
	middle := y + height/2
	d.text(x+7, middle-1, 10.5, "start", black, strings.TrimPrefix(e.Place, "end "))
	tier, doubt := wording.EndTier(e), wording.EndDoubt(e)
	d.text(x+(d.width+14)/2, middle-1, fit(14, d.width-34, bold, tier), "middle", black, tier,
		"font-weight", "700")
	d.text(x+d.width/2, middle+11, fit(10.5, d.width-12, letter, doubt), "middle", black, doubt)
}

// foot draws, where the card is empty, the long names, how to go on and what to end on.
func (d *cardDrawing) foot(c *plan.Card, depth int) {
	d.names(depth)
	x := cardWidth - 330
	y := cardHeight - cardFoot
	d.arrowRight(x, y+3)
	d.text(x+18, y+8, 14, "start", black, "most had it: go right", "font-weight", "600")
	d.arrowDown(x+5, y+18)
	d.text(x+18, y+31, 14, "start", black, "fewer than half had it: go down", "font-weight", "600")
	y += 60
	for _, call := range c.Closing {
		d.fittedBold(x, y, 12.5, 330,
			"End on plain beats, whatever came before ("+wording.CallPace(call)+"):")
		d.phrase(call.Rhythm, x, y+6, 190, 36)
		break
	}
	d.text(x, cardHeight-8, 10.5, "start", black, "Quiet, seated and one-handed clapping counts. Pain: stop.")
}

// names lists the names that are too long for their cells, in the empty corner under the ends.
func (d *cardDrawing) names(depth int) {
	const footLeft, least = cardWidth - 340, 320.0 // least is what a line needs
	row := 0
	for row < depth && cardWidth-d.free(row, depth) < least {
		row++
	}
	_, y := d.at(row, 0)
	size := math.Min(10.5, (cardHeight-y)/(1.35*float64(max(1, len(d.aside)))))
	for _, text := range d.aside {
		y += 1.3 * size
		x := d.free(int((y-cardHead)/(d.height+cardGap)), depth)
		right := cardWidth
		if y > cardHeight-cardFoot-12 {
			right = footLeft
		}
		d.fitted(x, y, size, right-x, text)
	}
}

// free is how far to the left a row is empty.
func (d *cardDrawing) free(row, depth int) float64 {
	x, _ := d.at(row, max(0, depth+1-row))
	return x
}

// phrase draws boxes in a space, a line for a bar or two, with the words of its strokes below.
func (d *cardDrawing) phrase(p rhythm.Phrase, x, y, width, height float64) {
	lines := p.Bars()
	for lines > 2 || lines == 2 && p.Beats() <= 4 {
		lines = (lines + 1) / 2
	}
	for lines > 1 && height/float64(lines) < 24 {
		lines = (lines + 1) / 2
	}
	perLine := (p.Bars() + lines - 1) / lines
	words := map[int]string{}
	for _, w := range spoken.Line(p, d.system) {
		if w.Sounded {
			words[w.Step] = w.Text
		}
	}
	// wordWidth is of a letter; words that are too wide for their box are left out
	const wordSpace, wordWidth = 10.0, 5.0
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
	d.add("path", "d", fmt.Sprintf("M%s %s h6 v-3.5 l5.5 4.5 l-5.5 4.5 v-3.5 h-6 z", pixels(x),
		pixels(y-1)), "fill", black)
}

func (d *cardDrawing) arrowDown(x, y float64) {
	d.add("path", "d", fmt.Sprintf("M%s %s v6 h-3.5 l4.5 5.5 l4.5 -5.5 h-3.5 v-6 z", pixels(x-1),
		pixels(y)), "fill", black)
}
