package rhythm

import (
	"bytes"
	"sort"
	"strings"
)

// String writes the phrase in box notation, each beat with the fewest boxes that hold its strokes:
//
//	x xx . x | xxx x . .
//
// Parsing it with the same metre gives an equal phrase, and printing that gives the same text.
func (p Phrase) String() string {
	var b strings.Builder
	perBar := p.meter.Beats()
	for i := range p.Beats() {
		switch {
		case i == 0:
		case i%perBar == 0:
			b.WriteString(" | ")
		default:
			b.WriteByte(' ')
		}
		b.Write(p.Boxes(i, p.BoxesPerBeat(i)))
	}
	return b.String()
}

// Boxes draws beat i (0-based over the whole phrase) in n equal boxes, one letter a box and '.' for
// an empty one. A stroke that does not fall on a box of that division is left out;
// [Phrase.BoxesPerBeat] gives a division that holds all.
func (p Phrase) Boxes(i, n int) []byte {
	start, length := p.beatSteps[i], p.beatSteps[i+1]-p.beatSteps[i]
	boxes := bytes.Repeat([]byte{'.'}, n)
	for _, stroke := range p.strokes {
		offset := stroke.Step - start
		if offset < 0 || offset >= length || offset*n%length != 0 {
			continue
		}
		boxes[offset*n/length] = stroke.letter()
	}
	return boxes
}

// BoxesPerBeat is the smallest number of equal boxes in which every stroke of beat i (0-based over
// the whole phrase) has its own box: 1 to 16.
func (p Phrase) BoxesPerBeat(i int) int {
	start, end := p.beatSteps[i], p.beatSteps[i+1]
	common := end - start
	first := sort.Search(len(p.strokes), func(k int) bool { return p.strokes[k].Step >= start })
	for _, stroke := range p.strokes[first:] {
		if stroke.Step >= end {
			break
		}
		common = gcd(common, stroke.Step-start)
	}
	return (end - start) / common
}

// Written is the phrase as it was written for [Parse], with one space between beats and " | "
// between bars; where it was not parsed, or changed since, it is [Phrase.String]. Parsing it with
// the same metre gives an equal phrase.
func (p Phrase) Written() string {
	if p.written == nil {
		return p.String()
	}
	return p.written.text
}

// WrittenBoxes is how many boxes beat i (0-based over the whole phrase) has in [Phrase.Written], 1
// to 16.
func (p Phrase) WrittenBoxes(i int) int {
	if p.written == nil {
		return p.BoxesPerBeat(i)
	}
	return p.written.boxes[i]
}
