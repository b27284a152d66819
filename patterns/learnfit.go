package patterns

import (
	"math"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"gonum.org/v1/gonum/mat"
)

// The two kinds of unknowns of a fit, and how an expected share changes with each.
const (
	phraseSide = iota
	groupSide
)

var uphill = [2]float64{phraseSide: -1, groupSide: 1}

// fitting holds phrases and groups while their places are fitted.
type fitting struct {
	model  *difficulty.Model
	graded []Graded
	middle float64 // of the bank, tiers
	sides  [2][]unknown
	index  [2]map[string]int // by ID and by name
	cells  []*cell           // in order of appearance
	cellOf map[[2]int]*cell
}

// unknown is a phrase or a group with its place on the tier scale.
type unknown struct {
	name             string
	index            int     // of the phrase in the bank
	prior, precision float64 // precision is 1 / variance
	value, sd        float64
	outcomes         int
	partners         int // groups of a phrase, phrases of a group
}

// cell is all answers of one group to one phrase.
type cell struct {
	at          [2]int  // phrase and group
	sum, weight float64 // of shares by their precision
	people      int
}

func newFitting(m *difficulty.Model, graded []Graded) *fitting {
	return &fitting{model: m, graded: graded, index: [2]map[string]int{{}, {}}, cellOf: map[[2]int]*cell{}}
}

// add takes in one outcome of the phrase with the given index in the bank.
func (f *fitting) add(index int, o bank.Outcome) {
	g := &f.graded[index]
	prior, sd := g.Predicted, f.model.SD(g.Phrase)
	if g.Entry.Tier > 0 {
		prior, sd, _ = place(sd, g.Predicted, g.Entry.Tier, 0)
	}
	at := [2]int{
		f.find(phraseSide, unknown{name: g.ID, index: index, prior: prior, precision: 1 / (sd * sd)}),
		f.find(groupSide, unknown{name: o.Group, prior: f.middle, precision: 1 / (levelSD * levelSD)}),
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
	shareSD := o.SD
	if shareSD == 0 {
		shareSD = outcomeSD
	}
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

// variance is the variance of a cell's mean share around the expected one: the error of the shares, the chance in who was
// there, and how a phrase may suit one group better than others. A share at either end is taken half way to the middle, so
// that a group that got everything or nothing does not look surer than it is.
func (c *cell) variance() float64 {
	p := (c.sum/c.weight + 0.5) / 2
	v := 1/c.weight + math.Pow(mixSlope*p*(1-p)*interactionSD, 2)
	if c.people > 0 {
		v += p * (1 - p) / float64(c.people)
	}
	return v
}

// Limits of the iteration.
const (
	fitRounds    = 200
	fitTolerance = 1e-7
)

// solve finds the most likely places by damped Gauss-Newton steps, and their errors from the curvature there.
func (f *fitting) solve() {
	damping, cost := 1e-3, f.cost()
	for range fitRounds {
		steps := f.system(damping).solve()
		largest := f.move(steps, 1)
		next := f.cost()
		if next > cost {
			f.move(steps, -1)
			damping *= 5
			continue
		}
		cost, damping = next, damping/3
		if largest < fitTolerance {
			break
		}
	}
	variances := f.system(0).variances()
	for side := range f.sides {
		for i := range f.sides[side] {
			f.sides[side][i].sd = math.Sqrt(variances[side][i])
		}
	}
}

// cost is half the squared misfit plus the pull of the priors.
func (f *fitting) cost() float64 {
	cost := 0.0
	for _, c := range f.cells {
		expected, _ := f.expect(c)
		miss := c.sum/c.weight - expected
		cost += miss * miss / (2 * c.variance())
	}
	for _, side := range f.sides {
		for _, u := range side {
			cost += (u.value - u.prior) * (u.value - u.prior) * u.precision / 2
		}
	}
	return cost
}

// move takes a step, forwards or back, and returns its largest part.
func (f *fitting) move(steps [2][]float64, times float64) (largest float64) {
	for side, list := range steps {
		for i, step := range list {
			f.sides[side][i].value += times * step
			largest = max(largest, math.Abs(step))
		}
	}
	return largest
}

// system is the equations of one step: the curvature times the step is the gradient. Phrases meet only groups, so the
// larger side is taken out, and what is left is solved for the smaller.
type system struct {
	small, large int
	curve        [2][]float64 // diagonal of the curvature
	gradient     [2][]float64
	meets        [][]meeting // by unknown of the large side
	left         mat.Cholesky
}

// meeting is the curvature between an unknown of the large side and one of the small side.
type meeting struct {
	small int
	curve float64
}

func (f *fitting) system(damping float64) *system {
	s := &system{small: phraseSide, large: groupSide}
	if len(f.sides[phraseSide]) > len(f.sides[groupSide]) {
		s.small, s.large = groupSide, phraseSide
	}
	for side, list := range f.sides {
		for _, u := range list {
			s.curve[side] = append(s.curve[side], u.precision)
			s.gradient[side] = append(s.gradient[side], (u.prior-u.value)*u.precision)
		}
	}
	s.meets = make([][]meeting, len(f.sides[s.large]))
	for _, c := range f.cells {
		expected, slope := f.expect(c)
		variance := c.variance()
		curve := slope * slope / variance
		for side, i := range c.at {
			s.curve[side][i] += curve
			s.gradient[side][i] += uphill[side] * slope * (c.sum/c.weight - expected) / variance
		}
		s.meets[c.at[s.large]] = append(s.meets[c.at[s.large]], meeting{c.at[s.small], -curve})
	}
	for side := range s.curve {
		for i := range s.curve[side] {
			s.curve[side][i] *= 1 + damping
		}
	}
	n := len(s.curve[s.small])
	left := mat.NewSymDense(n, nil)
	for i, curve := range s.curve[s.small] {
		left.SetSym(i, i, curve)
	}
	for l, list := range s.meets {
		for i, a := range list {
			for _, b := range list[:i+1] {
				left.SetSym(a.small, b.small, left.At(a.small, b.small)-a.curve*b.curve/s.curve[s.large][l])
			}
		}
	}
	s.left.Factorize(left) // positive definite: every unknown has a prior
	return s
}

// solve returns the step of every unknown.
func (s *system) solve() [2][]float64 {
	right := mat.NewVecDense(len(s.gradient[s.small]), append([]float64(nil), s.gradient[s.small]...))
	for l, list := range s.meets {
		for _, m := range list {
			right.SetVec(m.small, right.AtVec(m.small)-m.curve*s.gradient[s.large][l]/s.curve[s.large][l])
		}
	}
	var small mat.VecDense
	steps := [2][]float64{}
	_ = s.left.SolveVecTo(&small, right) // an error only warns of bad condition, and the result stands
	steps[s.small] = small.RawVector().Data
	for l, list := range s.meets {
		step := s.gradient[s.large][l]
		for _, m := range list {
			step -= m.curve * small.AtVec(m.small)
		}
		steps[s.large] = append(steps[s.large], step/s.curve[s.large][l])
	}
	return steps
}

// variances is the diagonal of the inverse of the curvature.
func (s *system) variances() [2][]float64 {
	var inverse mat.SymDense
	variances := [2][]float64{}
	_ = s.left.InverseTo(&inverse) // as above
	for i := range s.curve[s.small] {
		variances[s.small] = append(variances[s.small], inverse.At(i, i))
	}
	for l, list := range s.meets {
		curve := s.curve[s.large][l]
		sum := 0.0
		for _, a := range list {
			for _, b := range list {
				sum += a.curve * b.curve * inverse.At(a.small, b.small)
			}
		}
		variances[s.large] = append(variances[s.large], 1/curve+sum/(curve*curve))
	}
	return variances
}
