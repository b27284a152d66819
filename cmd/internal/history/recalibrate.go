package history

import (
	"cmp"
	"math"
)

// Calibration moves stated chances to what outcomes say they are worth: logit p′ = Shift + Slope ·
// logit p, the recalibration of Cox (1958, Biometrika 45, 562-565), with both drawn to no change by
// what is believed before any outcome.
type Calibration struct {
	Shift, Slope float64
	Cases        int // outcomes it rests on
}

// Before any outcome, and with few hardly different: a shift within about half a logit, a slope
// within about a third of 1. Our choice, no source.
const (
	shiftSD    = 0.5
	logSlopeSD = 0.3
	leastLogit = 6.0 // chances beyond 0.9975 are taken as that
	leastCases = 5   // with fewer outcomes nothing is moved
)

// Unmoved is the calibration that changes nothing.
var Unmoved = Calibration{Slope: 1}

// Recalibrate learns from outcomes with a stated chance, by the means of the posterior on a grid;
// with fewer than five it is [Unmoved].
func Recalibrate(outcomes []Outcome) Calibration {
	type seen struct{ x, y float64 }
	var list []seen
	for _, o := range outcomes {
		chance := cmp.Or(o.Raw, o.Chance)
		if chance != nil {
			list = append(list, seen{logit(*chance), o.came()})
		}
	}
	if len(list) < leastCases {
		return Calibration{Slope: 1, Cases: len(list)}
	}
	const half = 20 // steps to either side, of an eighth of a standard deviation
	var total, shift, logSlope float64
	var logs [2*half + 1][2*half + 1]float64
	most := math.Inf(-1)
	for i := range logs {
		for j := range logs[i] {
			u, v := float64(i-half)/8, float64(j-half)/8
			a, b := u*shiftSD, math.Exp(v*logSlopeSD)
			sum := -(u*u + v*v) / 2
			for _, s := range list {
				t := a + b*s.x
				if s.y == 0 {
					t = -t
				}
				sum -= math.Log1p(math.Exp(-t))
			}
			logs[i][j] = sum
			most = max(most, sum)
		}
	}
	for i := range logs {
		for j := range logs[i] {
			w := math.Exp(logs[i][j] - most)
			total += w
			shift += w * float64(i-half) / 8 * shiftSD
			logSlope += w * float64(j-half) / 8 * logSlopeSD
		}
	}
	return Calibration{Shift: shift / total, Slope: math.Exp(logSlope / total), Cases: len(list)}
}

// Moves reports whether the calibration changes anything.
func (c Calibration) Moves() bool { return c.Shift != 0 || c.Slope != 1 }

// Apply is what a stated chance is worth.
func (c Calibration) Apply(chance float64) float64 {
	if !c.Moves() {
		return chance
	}
	return 1 / (1 + math.Exp(-(c.Shift + c.Slope*logit(chance))))
}

// Invert takes back what Apply did.
func (c Calibration) Invert(chance float64) float64 {
	if !c.Moves() {
		return chance
	}
	return 1 / (1 + math.Exp(-(logit(chance)-c.Shift)/c.Slope))
}

func logit(p float64) float64 {
	p = min(max(p, 1e-9), 1-1e-9)
	return min(max(math.Log(p/(1-p)), -leastLogit), leastLogit)
}
