// Package leastsquares solves weighted least squares with pulls and floors: what both the fit of the
// model and learning from a leader's groups come down to.
package leastsquares

import (
	"errors"
	"slices"
)

// Problem is a problem of weighted least squares with pulls towards given values. It has two kinds
// of unknowns. A few may meet each other in any equation. Of the many, an equation holds one at most,
// so that they can be taken out first: the cost grows with the cube of the few only.
//
// The few are numbered from 0, the many follow them. Not safe for concurrent use.
type Problem struct {
	few      int
	dense    symmetric   // curvature among the few
	diagonal []float64   // curvature of each of the many
	meets    [][]meeting // of each of the many with the few
	gradient []float64   // of all
}

// meeting is the curvature between one of the many and one of the few.
type meeting struct {
	few   int
	curve float64
}

// Term is an unknown in an equation and what it is multiplied by.
type Term struct {
	Unknown int
	Times   float64
}

// ErrNotSettled is returned where the equations leave an unknown open.
var ErrNotSettled = errors.New("the equations don't settle every unknown")

// New makes an empty problem.
func New(few, many int) *Problem {
	return &Problem{
		few: few, dense: newSymmetric(few), diagonal: make([]float64, many),
		meets: make([][]meeting, many), gradient: make([]float64, few+many),
	}
}

// Pull draws an unknown towards a value with the given precision, 1 / variance.
func (l *Problem) Pull(unknown int, value, precision float64) {
	l.Add(value, precision, Term{unknown, 1})
}

// Add takes in that the sum of the terms is about target, with the given precision. At most one of
// the terms may be one of the many; each unknown stands in one term at most.
func (l *Problem) Add(target, precision float64, terms ...Term) {
	many, times := -1, 0.0
	for _, a := range terms {
		l.gradient[a.Unknown] += precision * a.Times * target
		if a.Unknown >= l.few {
			many, times = a.Unknown-l.few, a.Times
			l.diagonal[many] += precision * times * times
		}
	}
	for _, a := range terms {
		if a.Unknown >= l.few {
			continue
		}
		for _, b := range terms {
			if b.Unknown <= a.Unknown {
				l.dense.add(a.Unknown, b.Unknown, precision*a.Times*b.Times)
			}
		}
		if many >= 0 {
			l.meets[many] = append(l.meets[many], meeting{a.Unknown, precision * times * a.Times})
		}
	}
}

// Damp makes every step shorter by raising each unknown's own curvature by that share.
func (l *Problem) Damp(share float64) {
	for i := range l.few {
		l.dense.add(i, i, l.dense.At(i, i)*share)
	}
	for i := range l.diagonal {
		l.diagonal[i] *= 1 + share
	}
}

// Solution is the least-squares values of all unknowns, and how sure they are.
type Solution struct {
	Values []float64 // of the few, then of the many

	problem *Problem
	reduced *symmetric // factorized; nil where no value is free
	inverse *symmetric // of the reduced curvature; nil until asked for
	free    []int      // the few that no floor holds, in order
}

// Solve finds the values of least squares. floor, one for each of the few, holds values up; nil
// holds none. It gives [ErrNotSettled] where an unknown appears in no equation.
func (l *Problem) Solve(floor []float64) (*Solution, error) {
	curve, right, err := l.reduce()
	if err != nil {
		return nil, err
	}
	held := make([]bool, l.few)
	s := &Solution{Values: make([]float64, len(l.gradient)), problem: l}
	// Values below their floor are held there, one that would rise is let go again. More rounds
	// than twice the unknowns would mean that rounding makes one go to and fro.
	for range 2*l.few + 1 {
		if err := s.solveFree(curve, right, floor, held); err != nil {
			return nil, err
		}
		if floor == nil || !exchange(curve, right, s.Values, floor, held) {
			break
		}
	}
	for i, list := range l.meets {
		value := l.gradient[l.few+i]
		for _, m := range list {
			value -= m.curve * s.Values[m.few]
		}
		s.Values[l.few+i] = value / l.diagonal[i]
	}
	return s, nil
}

// reduce takes the many out.
func (l *Problem) reduce() (symmetric, []float64, error) {
	curve := l.dense.clone()
	right := slices.Clone(l.gradient[:l.few])
	for i, list := range l.meets {
		own := l.diagonal[i]
		if !(own > 0) {
			return curve, nil, ErrNotSettled
		}
		for k, a := range list {
			right[a.few] -= a.curve * l.gradient[l.few+i] / own
			for j, b := range list[:k+1] {
				share := a.curve * b.curve / own
				if j < k && a.few == b.few {
					share *= 2 // the same pair from two equations
				}
				curve.add(a.few, b.few, -share)
			}
		}
	}
	return curve, right, nil
}

// solveFree finds the few that no floor holds, with the others at their floors.
func (s *Solution) solveFree(
	curve symmetric, right, floor []float64, held []bool,
) error {
	s.free = s.free[:0]
	for i := range held {
		if !held[i] {
			s.free = append(s.free, i)
		} else {
			s.Values[i] = floor[i]
		}
	}
	s.reduced, s.inverse = nil, nil
	if len(s.free) == 0 {
		return nil
	}
	part, found := newSymmetric(len(s.free)), make([]float64, len(s.free))
	for k, i := range s.free {
		value := right[i]
		for j := range held {
			if held[j] {
				value -= curve.At(i, j) * floor[j]
			}
		}
		found[k] = value
		for n, j := range s.free[:k+1] {
			part.add(k, n, curve.At(i, j))
		}
	}
	if !part.factorize() {
		return ErrNotSettled
	}
	s.reduced = &part
	part.solve(found)
	for k, i := range s.free {
		s.Values[i] = found[k]
	}
	return nil
}

// exchange holds values below their floor, or if there is none lets the one go that would rise
// most. It reports whether anything changed.
func exchange(curve symmetric, right, values, floor []float64, held []bool) bool {
	changed := false
	for i := range held {
		if !held[i] && values[i] < floor[i] {
			held[i], changed = true, true
		}
	}
	if changed {
		return true
	}
	most, at := 1e-12, -1
	for i := range held {
		if !held[i] {
			continue
		}
		rise := right[i]
		for j := range held {
			rise -= curve.At(i, j) * values[j]
		}
		if rise > most {
			most, at = rise, i
		}
	}
	if at >= 0 {
		held[at] = false
	}
	return at >= 0
}

// Variance is the variance of an unknown when every precision is that of independent errors; 0 for
// a value that is held at its floor.
func (s *Solution) Variance(unknown int) float64 {
	if unknown < s.problem.few {
		return s.Covariance(unknown, unknown)
	}
	own := s.problem.diagonal[unknown-s.problem.few]
	list := s.problem.meets[unknown-s.problem.few]
	sum := 0.0
	for _, a := range list {
		for _, b := range list {
			sum += a.curve * b.curve * s.Covariance(a.few, b.few)
		}
	}
	return 1/own + sum/(own*own)
}

// Covariance is that of two of the few.
func (s *Solution) Covariance(a, b int) float64 {
	if s.reduced == nil {
		return 0
	}
	if s.inverse == nil {
		inverse := s.reduced.inverse()
		s.inverse = &inverse
	}
	i, held := slices.BinarySearch(s.free, a)
	j, too := slices.BinarySearch(s.free, b)
	if !held || !too {
		return 0
	}
	return s.inverse.At(i, j)
}
