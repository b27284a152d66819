package fit

import (
	"slices"

	"clapladder.example/rhythm"
)

// Contents names the classes of teaching content in a phrase, those of teaching_phrases.csv, in a
// fixed order and each once. Plain beats are two strokes on neighbouring beats with nothing
// between, whatever else the phrase holds. In claps a half note and a quarter with a rest are the
// same: both are "rests".
func Contents(p rhythm.Phrase) []string {
	c := content{p: p, meter: p.Meter(), found: map[string]bool{}}
	c.metre()
	for i := range p.Beats() {
		c.beat(i)
	}
	var names []string
	for name := range c.found {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

type content struct {
	p     rhythm.Phrase
	meter rhythm.Meter
	found map[string]bool
}

func (c *content) metre() {
	switch {
	case c.meter.Kind() == rhythm.Additive:
		c.found["additive"] = true
	case c.meter.Beats() == 5 || c.meter.Beats() == 7:
		c.found["five"] = true
	}
}

// cell is beat i in the fewest boxes, "x" for any stroke; beyond the phrase it is "x", since
// something follows.
func (c *content) cell(i int) string {
	if i < 0 || i >= c.p.Beats() {
		return "x"
	}
	boxes := c.p.Boxes(i, c.p.BoxesPerBeat(i))
	for k, box := range boxes {
		if box != '.' {
			boxes[k] = 'x'
		}
	}
	return string(boxes)
}

func (c *content) beat(i int) {
	cell, before := c.cell(i), c.cell(i-1)
	inBar := i % c.meter.Beats()
	silent := cell[0] == '.'
	// The stroke before is off the beat and sounds on.
	held := silent && len(before) > 1 && before[len(before)-1] == 'x'
	if cell == "x" && before == "x" && i > 0 {
		c.found["beats"] = true
	}
	compound := c.meter.Kind() == rhythm.Compound
	switch {
	case compound && len(cell) > 1:
		c.found["compound"] = true
	case len(cell) == 3 && c.meter.Kind() != rhythm.Additive:
		c.found["triplets"] = true
	}
	c.mixed()
	switch cell {
	case "xx":
		c.found["pairs"] = !compound || c.found["pairs"]
	case "xxxx":
		c.found["sixteenths"] = true
	case "x.xx", "xxx.":
		c.found["eighth-two-sixteenths"] = true
	case "x..x", "xx..":
		c.found["dotted-eighth"] = true
	case ".x":
		c.offBeat(i, inBar, before, held)
	case ".":
		c.silence(i, inBar)
	default:
		if silent || cell == "xx.x" {
			c.found["ties"] = true
		}
	}
	if silent && inBar == 0 && !c.pickup(i) {
		c.found["missing-downbeat"] = true
	}
	for name, found := range c.found {
		if !found {
			delete(c.found, name)
		}
	}
}

func (c *content) offBeat(i, inBar int, before string, held bool) {
	switch {
	case held && c.meter.StrongBeat(inBar):
		c.found["ties"] = true
	case held:
		c.found["syncopa"] = true
	case before == "x" && i > 0:
		c.found["dotted-quarter"] = true
	default:
		c.found["off-beat-start"] = true
	}
}

func (c *content) silence(i, inBar int) {
	last := c.p.Strokes()[len(c.p.Strokes())-1].Step
	switch {
	case c.p.BeatSteps()[i] > last:
		c.found["final-rest"] = true
	case c.pickup(i):
		c.found["upbeat"] = true
	case c.cell(i-1) == "." && i > 0:
		c.found["long-notes"] = true
	case c.cell(i+1) == ".":
		// the next beat says it
	case inBar == c.meter.Beats()-1:
		c.found["final-rest"] = true
	default:
		c.found["rests"] = true
	}
}

// pickup reports whether beat i lies in the silence before a pickup: before strokes in the second
// half of a first bar that another bar follows.
func (c *content) pickup(i int) bool {
	first, beats := c.p.Strokes()[0].Step, c.p.BeatSteps()
	return c.p.Bars() > 1 && first >= beats[1] && first < c.p.BarSteps() && 2*first >= c.p.BarSteps() &&
		beats[i] < first
}

// mixed finds binary and ternary divisions in one phrase.
func (c *content) mixed() {
	if c.meter.Kind() != rhythm.Simple {
		return
	}
	binary, ternary := false, false
	for i := range c.p.Beats() {
		n := len(c.cell(i))
		ternary = ternary || n%3 == 0
		binary = binary || (n > 1 && n%3 != 0)
	}
	c.found["mixed"] = binary && ternary
}

// Sequences are the names of the published teaching sequences, in the order of the file.
func (d *Data) Sequences() []string {
	var names []string
	for _, s := range d.Steps {
		if !slices.Contains(names, s.Sequence) {
			names = append(names, s.Sequence)
		}
	}
	return names
}
