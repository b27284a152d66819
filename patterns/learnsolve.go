package patterns

import (
	"math"

	"clapladder.example/patterns/internal/features"
	"clapladder.example/patterns/internal/leastsquares"
)

// Limits of the iteration.
const (
	fitRounds    = 200
	fitTolerance = 1e-4 // tiers: a hundredth of what a file holds
)

// solve finds the most likely weights and places by damped Gauss-Newton steps, and their errors
// from the curvature there. It returns the last solution, for [fitting.errorOf].
func (f *fitting) solve() (*leastsquares.Solution, error) {
	damping, cost := 1e-3, f.cost()
	for range fitRounds {
		step, err := f.step(damping)
		if err != nil {
			return nil, err
		}
		largest := f.move(step, 1)
		next := f.cost()
		if next > cost {
			f.move(step, -1)
			damping *= 5
			if damping > 1e9 { // rounding: no step is an improvement
				break
			}
			continue
		}
		cost, damping = next, damping/3
		if largest < fitTolerance {
			break
		}
	}
	last, err := f.step(0)
	if err != nil {
		return nil, err
	}
	for side := range f.sides {
		for i := range f.sides[side] {
			f.sides[side][i].error = math.Sqrt(last.Variance(f.unknownOf(side, i)))
		}
	}
	return last, nil
}

// few is the side with fewer unknowns. It is solved for together with the weights; the other is
// taken out first, since phrases meet groups only.
func (f *fitting) few() int {
	if len(f.sides[phraseSide]) > len(f.sides[groupSide]) {
		return groupSide
	}
	return phraseSide
}

// unknownOf is the number of an unknown in the equations: weights, the few, the many.
func (f *fitting) unknownOf(side, i int) int {
	if side == f.few() {
		return features.Count + i
	}
	return features.Count + len(f.sides[f.few()]) + i
}

// step solves the equations of one Gauss-Newton step.
func (f *fitting) step(damping float64) (*leastsquares.Solution, error) {
	few := f.few()
	fewCount := features.Count + len(f.sides[few])
	equations := leastsquares.New(fewCount, len(f.sides[1-few]))
	floor := make([]float64, fewCount)
	for k, w := range f.weights {
		equations.Pull(k, -w, 1/(f.doubt[k]*f.doubt[k]))
		floor[k] = f.least[k] - w
	}
	for i := features.Count; i < fewCount; i++ {
		floor[i] = math.Inf(-1)
	}
	for side := range f.sides {
		for i := range f.sides[side] {
			u := &f.sides[side][i]
			terms := []leastsquares.Term{{Unknown: f.unknownOf(side, i), Times: 1}}
			if side == phraseSide {
				for k, tilt := range f.tilts[u.index] {
					if tilt != 0 {
						terms = append(terms, leastsquares.Term{Unknown: k, Times: -tilt})
					}
				}
			}
			equations.Add(f.pull(side, u), 1/(u.sd*u.sd), terms...)
		}
	}
	for _, c := range f.cells {
		_, slope := f.expect(c)
		_, precision := f.loss(c)
		equations.Add(f.miss(c), precision,
			leastsquares.Term{
				Unknown: f.unknownOf(phraseSide, c.at[phraseSide]),
				Times:   slope * uphill[phraseSide],
			},
			leastsquares.Term{
				Unknown: f.unknownOf(groupSide, c.at[groupSide]),
				Times:   slope * uphill[groupSide],
			})
	}
	equations.Damp(damping)
	return equations.Solve(floor)
}

// move takes a step, forwards or back, and returns its largest part.
func (f *fitting) move(step *leastsquares.Solution, times float64) (largest float64) {
	for k := range f.weights {
		f.weights[k] += times * step.Values[k]
		largest = max(largest, math.Abs(step.Values[k]))
	}
	for side := range f.sides {
		for i := range f.sides[side] {
			by := step.Values[f.unknownOf(side, i)]
			f.sides[side][i].value += times * by
			largest = max(largest, math.Abs(by))
		}
	}
	return largest
}

// errorOf is how sure the place of a phrase is that no group has answered: what no weight explains,
// and what is left of the doubt about the weights.
func (f *fitting) errorOf(index int, last *leastsquares.Solution) float64 {
	variance := f.own[index] * f.own[index]
	for a, x := range f.tilts[index] {
		for b, y := range f.tilts[index] {
			variance += x * y * last.Covariance(a, b)
		}
	}
	return math.Sqrt(variance)
}
