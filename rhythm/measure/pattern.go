package measure

import (
	"errors"
	"fmt"
	"slices"

	"clapladder.example/rhythm"
)

// Limits of a pattern given as boxes.
const (
	maxPulses = 4096
	maxSplits = 16
)

// Pattern is a rhythm on the points of its metre: what the measures look at. See the package
// comment for how a phrase becomes one. It holds work space for the measures: it must not be used
// by two goroutines at once, not even to measure.
type Pattern struct {
	// Cyclic scores the pattern as a cycle that repeats without a break. False scores a phrase with
	// an end.
	Cyclic bool

	sounded  []bool    // by point
	depth    []int8    // by point: level in the metre, 0 strongest
	onsets   []int     // points that sound, increasing
	loudness []float64 // by onset, 0 to 1
	// by point, with the end as last element: steps, if mixed; otherwise a point is its position
	position []int
	beats    []int   // point of each beat, with the end as last element; nil if not known
	deep     int8    // deepest level of a beat
	bar      int     // points in a bar; 0 where bars may differ
	mixed    bool    // beats are divided in more than one way
	splits   []int   // subdivisions of the bar down to the point; empty if unequal or mixed
	unit     float64 // length of one pulse, in positions
	seconds  float64 // duration; 0 if there is no tempo
	tree     barTree
	work     scratch
}

// scratch is reusable memory of single measures.
type scratch struct {
	boxes    []int // by beat: fewest boxes that hold its strokes
	division []int // by beat: points
	accents  []bool
	values   []int
	costs    []int
	weights  []float64
}

// ParsePattern reads one character a pulse: 'x' or 'X' is an onset (X accented: see siorosGuedes),
// '.' or '-' none. The metre is given as beat, the number of pulses in one beat, and the
// subdivisions of the whole pattern from the top, whose product is the number of pulses:
// ParsePattern("x..x..x...x.x...", 4, 2, 2, 2, 2). The result has an end; set Cyclic for a
// timeline. It fails on other characters, on more than 4096 pulses and where the numbers do not
// agree.
func ParsePattern(boxes string, beat int, subdivisions ...int) (*Pattern, error) {
	if len(boxes) > maxPulses {
		return nil, fmt.Errorf("a pattern of %d pulses is longer than %d", len(boxes), maxPulses)
	}
	p := &Pattern{}
	accented := false
	for i, c := range []byte(boxes) {
		switch c {
		case 'x', 'X':
			p.onsets = append(p.onsets, i)
			accented = accented || c == 'X'
		case '.', '-':
		default:
			return nil, fmt.Errorf("pulse %d of the pattern is %q; write x for an onset and . "+
				"for none", i+1, c)
		}
	}
	for _, o := range p.onsets {
		p.loudness = append(p.loudness, loudnessOf(accented, boxes[o] == 'X'))
	}
	return p, p.layOut(len(boxes), beat, subdivisions)
}

// layOut fills a pattern of one bar whose onsets are set.
func (p *Pattern) layOut(pulses, beat int, subdivisions []int) error {
	product := 1
	for _, s := range subdivisions {
		if s < 2 || s > maxPulses {
			return fmt.Errorf("a subdivision into %d is not possible; write 2 or more", s)
		}
		if product *= s; product > maxPulses {
			return fmt.Errorf("the subdivisions make more than %d pulses", maxPulses)
		}
	}
	switch {
	case len(p.onsets) == 0:
		return errors.New("the pattern has no onset")
	case len(subdivisions) == 0:
		return errors.New("the pattern has no subdivisions")
	case len(subdivisions) > maxSplits || product != pulses:
		return fmt.Errorf("the subdivisions make %d pulses, the pattern has %d", product, pulses)
	case beat < 1 || pulses%beat != 0:
		return fmt.Errorf("a beat of %d pulses does not divide %d pulses", beat, pulses)
	}
	for i := range pulses {
		p.depth = append(p.depth, depthIn(i, pulses, subdivisions))
	}
	p.sounded = make([]bool, pulses)
	for _, o := range p.onsets {
		p.sounded[o] = true
	}
	for i := 0; i <= pulses; i += beat {
		p.beats = append(p.beats, i)
	}
	for _, b := range p.beats[:len(p.beats)-1] {
		p.deep = max(p.deep, p.depth[b])
	}
	p.splits = slices.Clone(subdivisions)
	p.bar, p.unit = pulses, 1
	return nil
}

// loudnessOf is the loudness of a stroke: 1, but in a pattern that has accents 2/3 for strokes
// without one. Own choice.
func loudnessOf(anyAccent, accent bool) float64 {
	if anyAccent && !accent {
		return 2.0 / 3
	}
	return 1
}

// at is the place of a point in positions; unit positions are one pulse.
func (p *Pattern) at(point int) int {
	if !p.mixed {
		return point
	}
	return p.position[point]
}

// length is the end of the pattern in positions.
func (p *Pattern) length() int { return p.at(len(p.sounded)) }

// pulses is the length in pulses.
func (p *Pattern) pulses() float64 { return float64(p.length()) / p.unit }

// until is the distance from onset k to the next one, in positions. The last one lasts to the end,
// or in a cycle to the first onset of the next turn.
func (p *Pattern) until(k int) int {
	if k+1 < len(p.onsets) {
		return p.at(p.onsets[k+1]) - p.at(p.onsets[k])
	}
	d := p.length() - p.at(p.onsets[k])
	if p.Cyclic {
		d += p.at(p.onsets[0])
	}
	return d
}

// pulsed reports whether there are onsets, all on one common pulse.
func (p *Pattern) pulsed() error {
	switch {
	case len(p.onsets) == 0:
		return errEmpty
	case p.mixed:
		return errMixed
	}
	return nil
}

// binaryBar reports whether pulses are common and a bar is a power of two of them.
func (p *Pattern) binaryBar() error {
	switch err := p.pulsed(); {
	case err != nil:
		return err
	case p.kind() == rhythm.Additive:
		return errUneven
	case p.kind() == rhythm.Compound || !powerOfTwo(p.bar):
		return errNotBinary
	}
	return nil
}

// kind is that of the phrase's metre; a pattern without a written metre passes for simple.
func (p *Pattern) kind() rhythm.Kind {
	if p.tree.meter.IsZero() {
		return rhythm.Simple
	}
	return p.tree.meter.Kind()
}
