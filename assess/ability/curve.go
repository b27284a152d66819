package ability

import (
	"math"
	"sync"

	"clapladder.example/assess/internal/interpolate"
)

// The grid of spreads is even in its logarithm and reaches 2.8 standard
// deviations of the usual prior on either side of its median; that of
// discriminations is even in its logarithm from 0.8 to 2. On the groups tried, a
// grid of 40 times 16 moved levels by less than 0.01 tiers and mix chances by
// less than 0.04.
const (
	spreadCount         = 10
	spreadLowest        = 0.30
	spreadHighest       = 4.80
	discriminationCount = 4
	discriminationLow   = 0.8
	discriminationHigh  = 2.0
)

// Curves are tabulated against level minus difficulty, in tiers.
const (
	curveStep  = 0.05
	curveReach = 24.0
	curveHalf  = int(curveReach / curveStep)
)

// logistic returns 1/(1+e^−x) without overflow for any x.
func logistic(x float64) float64 {
	if x >= 0 {
		return 1 / (1 + math.Exp(-x))
	}
	e := math.Exp(x)
	return e / (1 + e)
}

// curve is the share of a group expected to manage a phrase, against the
// distance x = level − difficulty, for one spread and one discrimination.
type curve struct {
	spread         float64
	discrimination float64
	share          []float64 // share[i] at x = (i−curveHalf)·curveStep, rising
	within         []float64 // mean over the people of P(1−P), same places
	luck           []float64 // N times the variance of a group of N about share, same places
}

// curves returns the table for every spread and discrimination of the grid, in
// the order spread·discriminationCount + discrimination. It is computed once
// and must not be changed.
var curves = sync.OnceValue(buildCurves)

func buildCurves() []curve {
	table := make([]curve, 0, spreadCount*discriminationCount)
	for _, s := range spreads() {
		for _, a := range discriminations() {
			table = append(table, newCurve(s, a))
		}
	}
	return table
}

func spreads() []float64 { return geometric(spreadLowest, spreadHighest, spreadCount) }

func discriminations() []float64 {
	return geometric(discriminationLow, discriminationHigh, discriminationCount)
}

// geometric returns n values from low to high with a constant ratio.
func geometric(low, high float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = low * math.Pow(high/low, float64(i)/float64(n-1))
	}
	return out
}

// newCurve integrates the logistic over the abilities by the trapezoid rule,
// which converges exponentially for smooth integrands on the whole line: with
// steps of at most 0.8 logit and 0.75 spread the error is below 1e-8.
func newCurve(spread, discrimination float64) curve {
	stride := max(1, int(min(0.8/discrimination, 0.75*spread)/curveStep))
	reach := int(6.5*spread/curveStep)/stride + 1
	weights := make([]float64, 2*reach+1)
	total := 0.0
	for j := range weights {
		u := float64((j-reach)*stride) * curveStep / spread
		weights[j] = math.Exp(-u * u / 2)
		total += weights[j]
	}
	for j := range weights {
		weights[j] /= total
	}

	half := curveHalf + reach*stride
	chance := make([]float64, 2*half+1)
	for i := range chance {
		chance[i] = logistic(discrimination * float64(i-half) * curveStep)
	}

	c := curve{
		spread: spread, discrimination: discrimination,
		share:  make([]float64, 2*curveHalf+1),
		within: make([]float64, 2*curveHalf+1),
		luck:   make([]float64, 2*curveHalf+1),
	}
	for i := 0; i <= curveHalf; i++ {
		var share, square, tilt, bend float64
		at := i
		for j, w := range weights {
			p := chance[at]
			u := float64((j-reach)*stride) * curveStep / spread
			share += w * p
			square += w * p * p
			tilt += w * p * u
			bend += w * p * (u*u - 1) / math.Sqrt2
			at += stride
		}
		mirror := 2*curveHalf - i
		c.share[i], c.share[mirror] = share, 1-share
		within := share - square
		shape := max(square-share*share-tilt*tilt-bend*bend, 0)
		c.within[i], c.within[mirror] = within, within
		c.luck[i], c.luck[mirror] = within+shape, within+shape
	}
	c.share[curveHalf] = 0.5
	return c
}

// place finds x in the table: the index below it and how far x lies towards the
// next one, 0–1. Beyond the table the curve is taken as flat.
func place(x float64) (index int, fraction float64) {
	return interpolate.Place(x, curveStep, curveHalf)
}

// shareAt returns the expected share at distance x = level − difficulty.
func (c *curve) shareAt(x float64) float64 { return interpolate.At(c.share, curveStep, x) }

// distance returns the x at which the expected share is p: the inverse of
// shareAt. p outside what the table holds gives the table's end.
func (c *curve) distance(p float64) float64 { return interpolate.Inverse(c.share, curveStep, p) }
