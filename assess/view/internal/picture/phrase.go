package picture

import (
	"math"
	"strconv"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/internal/words"
	"clapladder.example/assess/view/internal/boxes"
	"clapladder.example/assess/view/internal/wording"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// Measures of the boxes, CSS pixels.
const (
	boxHeight  = 46.0
	leastBox   = 18.0
	leastBeat  = 54.0
	boxMargin  = 4.0
	corner     = 3.0
	barGap     = 14.0
	trackSpace = 17.0 // for offset marks
	countSpace = 17.0 // for the numbers of beats
	headSpace  = 20.0 // for letters above boxes
	edge       = 6.0
)

// boxPicture lays out bars in rows.
type boxPicture struct {
	svg
	grid   boxes.Grid
	phrase rhythm.Phrase
	unit   float64 // pixels per step
	widest float64
	track  bool    // offset marks are drawn
	empty  bool    // nothing came back: strokes are outlines
	spread float64 // seconds
	tempo  float64 // that the answer was clapped at; 0: that of the phrase
}

// Phrase is the boxes of a phrase, in at most the given width; bars that do not fit go on below.
func Phrase(p rhythm.Phrase, width float64) string {
	b := boxPicture{grid: boxes.OfPhrase(p), phrase: p, widest: width}
	return b.draw("Phrase "+p.Written(), "In "+p.Meter().String()+".")
}

// Round fills boxes from below as far as the group was heard, stripes clapping where the phrase has
// nothing, and sets the mark under each box left or right of the tick where the group was early or
// late, with a soft edge as wide as their hands were apart. The error is about a phrase that can't
// be read.
func Round(r assess.Round, width float64) (string, error) {
	g, p, err := boxes.OfRound(r)
	if err != nil {
		return "", err
	}
	b := boxPicture{grid: g, phrase: p, widest: width, tempo: r.Call.Tempo}
	if r.Response != nil && len(r.Notes) > 0 {
		b.track, b.spread = true, r.Response.Spread/1000
	}
	b.empty = r.Response == nil && r.Heard == ""
	return b.draw(wording.RoundName(r), roundDescription(r)), nil
}

// roundDescription says a picture in words.
func roundDescription(r assess.Round) string {
	parts := []string{"The phrase is " + r.Notation + " in " + r.Meter + "."}
	if r.Response == nil {
		return parts[0] + " " + wording.Capital(wording.RoundResult(r)) + "."
	}
	var notes []string
	for _, n := range r.Notes {
		notes = append(notes, place(r, n.Bar, n.Beat)+" "+words.AboutShare(n.Participation))
	}
	if len(notes) > 0 {
		parts = append(parts, "Heard: "+strings.Join(notes, ", ")+".")
	}
	var extras []string
	for _, x := range r.Extras {
		extras = append(extras, place(r, x.Bar, x.Beat)+" "+words.AboutShare(x.Participation))
	}
	if len(extras) > 0 {
		parts = append(parts, "Clapped where the phrase has nothing: "+strings.Join(extras, ", ")+".")
	}
	return strings.Join(parts, " ")
}

// place names a note of a round as people count it. The metre is that of a report, which may be
// from elsewhere.
func place(r assess.Round, bar int, beat float64) string {
	text := "beat " + wording.Number(beat, 2)
	if m, err := rhythm.ParseMeter(r.Meter); err == nil {
		text = spoken.PlaceInBar(m, beat)
	}
	if strings.Contains(r.Notation, "|") {
		text += " in bar " + strconv.Itoa(bar)
	}
	return text
}

// draw lays the bars out in rows and draws them.
func (b *boxPicture) draw(name, description string) string {
	b.scale()
	barWidth := float64(b.phrase.BarSteps()) * b.unit
	perRow := max(1, int((b.widest-2*edge+barGap)/(barWidth+barGap)))
	perRow = min(perRow, len(b.grid))
	rows := (len(b.grid) + perRow - 1) / perRow
	row := headSpace + boxHeight + countSpace
	if b.track {
		row += trackSpace
	}
	for i, bar := range b.grid {
		x := edge + float64(i%perRow)*(barWidth+barGap)
		y := float64(i/perRow) * row
		if i%perRow > 0 {
			b.line(x-barGap/2, y+headSpace-3, x-barGap/2, y+headSpace+boxHeight+3, "stroke", Ink,
				"stroke-width", 2.0)
		}
		b.bar(x, y, i, bar)
	}
	width := 2*edge + float64(perRow)*barWidth + float64(perRow-1)*barGap
	return b.document(width, float64(rows)*row, name, description)
}

// scale makes boxes as wide as they last, the narrowest still wide enough to see.
func (b *boxPicture) scale() {
	starts := b.phrase.BeatSteps()
	perBar := b.phrase.Meter().Beats()
	for i, bar := range b.grid {
		for k, boxes := range bar {
			at := i*perBar + k
			length := float64(starts[at+1] - starts[at])
			b.unit = max(b.unit, leastBox*float64(len(boxes))/length, leastBeat/length)
		}
	}
	if full := float64(b.phrase.BarSteps()) * b.unit; full > b.widest-2*edge { // one bar has to fit
		b.unit = (b.widest - 2*edge) / float64(b.phrase.BarSteps())
	}
}

func (b *boxPicture) bar(x, y float64, number int, bar []boxes.Beat) {
	starts := b.phrase.BeatSteps()
	perBar := len(bar)
	for k, boxes := range bar {
		at := number*perBar + k
		length := float64(starts[at+1]-starts[at]) * b.unit
		each := length / float64(len(boxes))
		for i, cell := range boxes {
			left := x + float64(i)*each
			b.box(left, y+headSpace, each, cell)
			if b.track && cell.Note && cell.Heard {
				b.offset(left, y+headSpace+boxHeight, each, cell)
			}
		}
		base := y + headSpace + boxHeight + 13
		if b.track {
			base += trackSpace
		}
		b.text(x+1, base, 12, "start", quiet, strconv.Itoa(k+1))
		x += length
	}
}

// box draws one box.
func (b *boxPicture) box(x, y, width float64, c boxes.Box) {
	x, width = x+boxMargin/2, width-boxMargin
	outline := []any{"fill", "#ffffff", "stroke", rule, "stroke-width", 1.0}
	if c.Note {
		outline = []any{"fill", "#ffffff", "stroke", Ink, "stroke-width", 1.6}
	} else {
		outline = append(outline, "stroke-dasharray", "2 3")
	}
	b.rect(x, y, width, boxHeight, append(outline, "rx", corner)...)
	switch {
	case c.Note && !c.Heard && !b.track && !b.empty:
		b.rect(x, y, width, boxHeight, "fill", Ink, "rx", corner)
	case c.Note && c.Heard && c.Share >= 0.02:
		h := boxHeight * math.Min(1, c.Share)
		b.rect(x, y+boxHeight-h, width, h, "fill", Sea, "rx", corner)
	case c.Heard:
		b.stripes(x, y, width, c.Share)
	}
	if c.Note {
		b.letter(x+width/2, y, c)
	}
}

// stripes fill a box whose clapping is not in the phrase.
func (b *boxPicture) stripes(x, y, width, share float64) {
	const stripe, space = 3.0, 3.0
	top := y + boxHeight - boxHeight*math.Min(1, share)
	for at := y + boxHeight - stripe; at >= top-stripe/2; at -= stripe + space {
		b.rect(x+1, at, width-2, stripe, "fill", Rust)
	}
}

// letter says which sound a stroke is, where it is not a clap, and draws a bar above accents.
func (b *boxPicture) letter(x, y float64, c boxes.Box) {
	if c.Letter < 'a' {
		b.line(x-6, y-4, x+6, y-4, "stroke", Ink, "stroke-width", 3.0)
		y -= 4
	}
	if letter := strings.ToLower(string(c.Letter)); letter != "x" {
		b.text(x, y-4, 13, "middle", Ink, letter)
	}
}

// perSecond is the scale of the track under the boxes, pixels a second: about ten times that of the
// boxes, so that what people hear can be seen.
const perSecond = 120.0

// offset draws the tick where the stroke belongs and the mark where the group put it.
func (b *boxPicture) offset(x, y, width float64, c boxes.Box) {
	middle := x + width/2
	y += 9
	b.line(middle, y-5, middle, y+5, "stroke", Ink, "stroke-width", 1.0)
	if c.Share < 0.08 {
		return
	}
	within := func(at float64) float64 { return math.Max(x+1, math.Min(x+width-1, at)) }
	at := within(middle + perSecond*c.Offset)
	for i := range 4 { // a soft edge of one and a half standard deviations
		half := perSecond * b.spread * (1.5 - 0.35*float64(i))
		b.rect(within(at-half), y-3.5, within(at+half)-within(at-half), 7, "fill", Sea,
			"fill-opacity", "0.18")
	}
	b.add("circle", "cx", at, "cy", y, "r", 2.5, "fill", Sea)
}
