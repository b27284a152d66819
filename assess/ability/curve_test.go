package ability

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/integrate/quad"
)

// person is the curve of a single person: a group without spread.
func person(discrimination float64) curve { return newCurve(1e-3, discrimination) }

func TestCurveOfOnePersonIsTwoParameterLogistic(t *testing.T) {
	// Baker, The Basics of Item Response Theory (2nd ed. 2001), ch. 2 and 6, from
	// memory; the digits were recomputed.
	thetas := []float64{-3, -2, -1, 0, 1, 2, 3}
	for _, tc := range []struct {
		name              string
		b, a              float64
		chance, informing []float64
	}{
		{
			"chapter 6", 1, 1.5,
			[]float64{0.0025, 0.0110, 0.0474, 0.1824, 0.5, 0.8176, 0.9526},
			[]float64{0.0055, 0.0244, 0.1016, 0.3356, 0.5625, 0.3356, 0.1016},
		},
		{
			"chapter 2", 1, 0.5,
			[]float64{0.1192, 0.1824, 0.2689, 0.3775, 0.5, 0.6225, 0.7311},
			nil,
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c := person(tc.a)
			for i, theta := range thetas {
				assert.InDelta(t, tc.chance[i], c.shareAt(theta-tc.b), 5e-5+1e-9, "chance at %v", theta)
				if tc.informing != nil {
					at, _ := place(theta - tc.b)
					assert.InDelta(t, tc.informing[i], tc.a*tc.a*c.within[at], 5e-5+1e-9,
						"information at %v", theta)
				}
			}
		})
	}
}

func TestCurveUnderGuessingIsThreeParameterLogistic(t *testing.T) {
	// Baker ch. 2, from memory: b 1.5, a 1.3, guessing 0.2.
	c := person(1.3)
	want := []float64{0.2023, 0.2084, 0.2299, 0.2996, 0.4744, 0.7256, 0.9004}
	for i, p := range want {
		assert.InDelta(t, p, 0.2+0.8*c.shareAt(float64(i-3)-1.5), 5e-5+1e-9)
	}
}

func TestShareOfAGroup(t *testing.T) {
	// Logistic–normal integrals computed elsewhere to four digits, and a table of
	// shares to two. For spread 2 that table follows the closed approximation
	// logistic(x/√(1+0.346 s²)) (MacKay 1992, from memory), off by up to 0.015.
	for _, tc := range []struct{ spread, x, share, digits float64 }{
		{1, 1, 0.6967, 5e-5},
		{1.5, 2, 0.8099, 5e-5},
		{0.5, 3, 0.95, 5e-3},
		{0.5, 2, 0.87, 5e-3},
		{0.5, 1, 0.72, 5e-3},
		{0.5, 0, 0.5, 1e-9},
		{0.5, -1, 0.28, 5e-3},
		{0.5, -2, 0.13, 5e-3},
		{0.5, -3, 0.05, 5e-3},
		{2, 2, logistic(2 / math.Sqrt(1+0.346*4)), 0.015},
		{2, 1, logistic(1 / math.Sqrt(1+0.346*4)), 0.015},
		{1, 1, logistic(1 / math.Sqrt(1+0.346)), 0.01},
	} {
		c := newCurve(tc.spread, 1)
		assert.InDelta(t, tc.share, c.shareAt(tc.x), tc.digits, "spread %v at %v", tc.spread, tc.x)
	}
}

func TestCurveAgainstGaussHermite(t *testing.T) {
	// Reference: gonum's quad.Hermite rule with 200 points, weight e^(−x²).
	for _, s := range []float64{0.3, 0.9, 1.7} {
		for _, a := range []float64{0.8, 2} {
			c := newCurve(s, a)
			for _, x := range []float64{-7.2, -3.1, -0.4, 0, 1.3, 2.87, 9} {
				hermite := func(g func(p, z float64) float64) float64 {
					return quad.Fixed(func(u float64) float64 {
						z := math.Sqrt2 * u
						return g(1/(1+math.Exp(-a*(x+s*z))), z)
					}, math.Inf(-1), math.Inf(1), 200, quad.Hermite{}, 0) / math.Sqrt(math.Pi)
				}
				share := hermite(func(p, _ float64) float64 { return p })
				within := hermite(func(p, _ float64) float64 { return p * (1 - p) })
				tilt := hermite(func(p, z float64) float64 { return p * z })
				bend := hermite(func(p, z float64) float64 { return p * (z*z - 1) / math.Sqrt2 })
				square := hermite(func(p, _ float64) float64 { return p * p })
				// The luck of N people of given mean and SD: the part of each curve
				// that neither mean nor SD of the people explains, plus chance.
				luck := within + square - share*share - tilt*tilt - bend*bend
				at, f := place(x)
				assert.InDelta(t, share, c.shareAt(x), 2e-4)
				assert.InDelta(t, within, c.within[at]+f*(c.within[at+1]-c.within[at]), 2e-4)
				assert.InDelta(t, luck, c.luck[at]+f*(c.luck[at+1]-c.luck[at]), 2e-4)
			}
		}
	}
}

func TestCurveRisesAndIsSymmetric(t *testing.T) {
	table := curves()
	for r := range table {
		c := &table[r]
		for i := 1; i < len(c.share); i++ {
			assert.GreaterOrEqual(t, c.share[i], c.share[i-1])
			assert.InDelta(t, 1, c.share[i]+c.share[len(c.share)-1-i], 1e-9)
			assert.GreaterOrEqual(t, c.luck[i], c.within[i])
		}
	}
}

func TestDistanceInvertsShare(t *testing.T) {
	table := curves()
	for r := range table {
		for _, p := range []float64{0.05, 0.3, 0.5, 0.7, 0.95} {
			assert.InDelta(t, p, table[r].shareAt(table[r].distance(p)), 1e-9)
		}
	}
	c := newCurve(1, 1)
	assert.Equal(t, -curveReach, c.distance(0))
	assert.Equal(t, curveReach, c.distance(1))
}

func TestPeopleVaryAboutTheirCurveAsLuckSays(t *testing.T) {
	// An outside check by drawing people: how far the share that gets a phrase
	// lies from the curve of the level and spread these very people have.
	const people, groups, a, spread, x = 30, 3000, 1.6, 1.7, 0.8
	rng := rand.New(rand.NewPCG(7, 7))
	sum := 0.0
	for range groups {
		g := crowd{discrimination: a}
		for range people {
			g.people = append(g.people, spread*rng.NormFloat64())
		}
		c := newCurve(g.spread(), a)
		d := g.respond(rng, -x, 0) - c.shareAt(g.level()+x)
		sum += d * d
	}
	c := newCurve(spread, a)
	at, _ := place(x)
	assert.InEpsilon(t, c.luck[at], people*sum/groups, 0.12)
	assert.Greater(t, c.luck[at], 1.05*c.within[at], "the shape of the mix counts")
}
