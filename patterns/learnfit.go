package patterns

import (
	"cmp"
	"math"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/internal/features"
)

// The two kinds of unknowns that a cell brings together, and how an expected share changes with
// each.
const (
	phraseSide = iota
	groupSide
)

var uphill = [2]float64{phraseSide: -1, groupSide: 1}

// fitting holds weights, phrases and groups while their places are fitted. A phrase lies where the
// model with corrected weights has it, give or take what no weight explains.
type fitting struct {
	graded  []Graded
	tilts   []features.Values // of each graded phrase: how its place changes with each weight
	own     []float64         // of each: standard deviation of what no weight explains, tiers
	middle  float64           // of the bank, tiers
	weights features.Values   // corrections so far
	doubt   features.Values   // standard deviation of each correction
	least   features.Values   // a correction can't take a weight below zero
	sides   [2][]unknown
	index   [2]map[string]int // by ID and by name
	cells   []*cell           // in order of appearance
	cellOf  map[[2]int]*cell
}

// unknown is a phrase or a group with its place on the tier scale.
type unknown struct {
	name      string
	index     int     // of the phrase in the bank
	prior, sd float64 // before any answer
	value     float64
	error     float64 // standard deviation after the fit
	outcomes  int
	partners  int // groups of a phrase, phrases of a group
}

// cell is all answers of one group to one phrase.
type cell struct {
	at          [2]int  // phrase and group
	sum, weight float64 // of shares by their precision
	people      int
}

func newFitting(m *difficulty.Model, graded []Graded) *fitting {
	f := &fitting{graded: graded, index: [2]map[string]int{{}, {}}, cellOf: map[[2]int]*cell{}}
	f.doubt, _ = m.Doubt()
	for k, weight := range m.Weights() {
		f.least[k] = -weight
	}
	f.tilt(m)
	return f
}

// tilt finds how each phrase changes with the weights, around the median of the bank, so that a
// correction moves phrases against each other and not the bank as a whole. A phrase that the leader
// placed stays where it is.
func (f *fitting) tilt(m *difficulty.Model) {
	f.tilts, f.own = make([]features.Values, len(f.graded)), make([]float64, len(f.graded))
	var values [features.Count][]float64
	for i := range f.graded {
		f.tilts[i] = features.Of(f.graded[i].Phrase)
		for k, v := range f.tilts[i] {
			values[k] = append(values[k], v)
		}
	}
	var middle features.Values
	for k := range middle {
		middle[k] = median(values[k])
	}
	for i := range f.graded {
		if g := &f.graded[i]; g.Entry.Tier > 0 {
			f.tilts[i] = features.Values{}
			_, f.own[i], _ = place(m.SD(g.Phrase), g.Predicted, g.Entry.Tier, 0)
			continue
		}
		for k := range f.tilts[i] {
			f.tilts[i][k] -= middle[k]
		}
		f.own[i] = phraseSD
	}
}

// add takes in one outcome of the phrase with the given index in the bank.
func (f *fitting) add(index int, o bank.Outcome) {
	g := &f.graded[index]
	prior := g.Predicted
	if g.Entry.Tier > 0 {
		prior, _, _ = place(f.own[index], g.Predicted, g.Entry.Tier, 0)
	}
	at := [2]int{
		f.find(phraseSide, unknown{name: g.ID, index: index, prior: prior, sd: f.own[index]}),
		f.find(groupSide, unknown{name: o.Group, prior: f.middle, sd: levelSD}),
	}
	c := f.cellOf[at]
	if c == nil {
		c = &cell{at: at}
		f.cellOf[at] = c
		f.cells = append(f.cells, c)
	}
	for side, i := range at {
		u := &f.sides[side][i]
		u.outcomes++
		if c.weight == 0 {
			u.partners++
		}
	}
	shareSD := cmp.Or(o.SD, outcomeSD)
	weight := 1 / (shareSD*shareSD + 1e-4) // a stated error of nearly nothing does not outweigh all else
	c.sum += weight * o.Share
	c.weight += weight
	c.people = max(c.people, o.People)
}

// find is the index of the unknown with that name; a new one starts at its prior.
func (f *fitting) find(side int, u unknown) int {
	i, known := f.index[side][u.name]
	if !known {
		i = len(f.sides[side])
		f.index[side][u.name] = i
		u.value = u.prior
		f.sides[side] = append(f.sides[side], u)
	}
	return i
}

// expect is the share that is expected of a cell, and its slope per tier.
func (f *fitting) expect(c *cell) (expected, slope float64) {
	tiers := f.sides[groupSide][c.at[groupSide]].value - f.sides[phraseSide][c.at[phraseSide]].value
	expected = 1 / (1 + math.Exp(-mixSlope*tiers))
	return expected, mixSlope * expected * (1 - expected)
}

// variance is the variance of a cell's mean share around the expected one: the error of the shares,
// the chance in who was there, and how a phrase may suit one group better than others. A share at
// either end is taken half way to the middle, so that a group that got everything or nothing does
// not look surer than it is.
func (c *cell) variance() float64 {
	p := (c.sum/c.weight + 0.5) / 2
	v := 1/c.weight + math.Pow(mixSlope*p*(1-p)*interactionSD, 2)
	if c.people > 0 {
		v += p * (1 - p) / float64(c.people)
	}
	return v
}

// miss is how far a cell's share lies above the expected one.
func (f *fitting) miss(c *cell) float64 {
	expected, _ := f.expect(c)
	return c.sum/c.weight - expected
}

// surprise is how far, in standard deviations, a share may lie from the expected one before more of
// it counts no more than in proportion (Huber 1964, from memory): now and then an answer is not
// what it seems.
const surprise = 2.0

// loss is what a miss costs, and the precision that it has in a step.
func (f *fitting) loss(c *cell) (cost, precision float64) {
	variance := c.variance()
	r := math.Abs(f.miss(c)) / math.Sqrt(variance)
	if r <= surprise {
		return r * r / 2, 1 / variance
	}
	return surprise * (r - surprise/2), surprise / r / variance
}

// corrected is how far the corrections move a phrase of the bank.
func (f *fitting) corrected(index int) float64 {
	sum := 0.0
	for k, tilt := range f.tilts[index] {
		sum += tilt * f.weights[k]
	}
	return sum
}

// pull is how far an unknown lies below where its prior, and for a phrase the corrected weights,
// have it.
func (f *fitting) pull(side int, u *unknown) float64 {
	pull := u.prior - u.value
	if side == phraseSide {
		pull += f.corrected(u.index)
	}
	return pull
}

// cost is half the squared misfit plus the pull of the priors.
func (f *fitting) cost() float64 {
	cost := 0.0
	for _, c := range f.cells {
		loss, _ := f.loss(c)
		cost += loss
	}
	for side := range f.sides {
		for i := range f.sides[side] {
			u := &f.sides[side][i]
			cost += math.Pow(f.pull(side, u)/u.sd, 2) / 2
		}
	}
	for k, w := range f.weights {
		cost += math.Pow(w/f.doubt[k], 2) / 2
	}
	return cost
}
