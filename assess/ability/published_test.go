package ability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Worked examples of item response theory, run through the package's own curve,
// grid, graded model and quantiles. What is "from memory" was remembered from
// the named work and its digits recomputed.

func TestMaximumLikelihoodOfTheTwoParameterExample(t *testing.T) {
	// Baker 2001, ch. 5, from memory: three items, answers 1, 0, 1, start at 1.
	b := []float64{-1, 0, 1}
	a := []float64{1, 1.2, 0.8}
	answers := []float64{1, 0, 1}
	steps := []float64{-0.7733, 0.0973, 0.0009}
	at := func(theta float64) (slope, information float64) {
		for i := range b {
			p := logistic(a[i] * (theta - b[i]))
			slope += a[i] * (answers[i] - p)
			information += a[i] * a[i] * p * (1 - p)
		}
		return slope, information
	}
	theta := 1.0
	for _, step := range steps {
		slope, information := at(theta)
		assert.InDelta(t, step, slope/information, 5e-5+1e-9)
		theta += slope / information
	}
	_, information := at(theta)
	assert.InDelta(t, 0.32485, theta, 5e-5)
	assert.InDelta(t, 0.6614, information, 5e-5)
	assert.InDelta(t, 1.2296, 1/math.Sqrt(information), 5e-5)
}

func TestKullbackLeiblerOfTheRaschExample(t *testing.T) {
	p0, p1 := logistic(0), logistic(1)
	kl := p0*math.Log(p0/p1) + (1-p0)*math.Log((1-p0)/(1-p1))
	assert.InDelta(t, 0.120115, kl, 5e-7)
}

// five Rasch items at −2…2; score and information of a person at theta.
func fiveItems(theta float64) (score, information, skew float64) {
	c := person(1)
	for b := -2.0; b <= 2; b++ {
		p := c.shareAt(theta - b)
		score += p
		information += p * (1 - p)
		skew += p * (1 - p) * (1 - 2*p)
	}
	return score, information, skew
}

func TestRaschMaximumLikelihood(t *testing.T) {
	// Algorithm: Linacre, Rasch Measurement Transactions 10:2; items are ours,
	// digits recomputed.
	for _, tc := range []struct{ score, theta, se float64 }{
		{1, -1.9254, 1.2586}, {2, -0.5908, 1.0960}, {3, 0.5908, 1.0960}, {4, 1.9254, 1.2586},
	} {
		theta := 0.0
		for range 30 {
			expected, information, _ := fiveItems(theta)
			theta += (tc.score - expected) / information
		}
		_, information, _ := fiveItems(theta)
		assert.InDelta(t, tc.theta, theta, 3e-4)
		assert.InDelta(t, tc.se, 1/math.Sqrt(information), 3e-4)
	}
}

func TestRaschWeightedLikelihoodIsFinite(t *testing.T) {
	// Formula: Warm 1989, from memory; digits recomputed.
	for score, want := range []float64{-3.3183, -1.6985, -0.5443, 0.5443, 1.6985, 3.3183} {
		low, high := -6.0, 6.0
		for range 60 {
			middle := (low + high) / 2
			expected, information, skew := fiveItems(middle)
			if float64(score)-expected+skew/(2*information) > 0 {
				low = middle
			} else {
				high = middle
			}
		}
		assert.InDelta(t, want, low, 1e-3)
	}
}

func TestGridMeanIsTheExpectedAPosteriori(t *testing.T) {
	// Bock & Mislevy 1982, from memory: N(0,1), grid −4…4 step 0.1; digits
	// recomputed.
	for _, tc := range []struct{ score, mean, sd float64 }{
		{0, -1.4037, 0.7646}, {1, -0.8307, 0.7500}, {2, -0.2750, 0.7422}, {3, 0.2750, 0.7422},
	} {
		p := &Posterior{first: -4, columns: 81, live: make([]span, len(curves()))}
		p.weights = make([]float64, len(p.live)*p.columns)
		p.live[0] = span{0, 81}
		for i := range p.columns {
			weight := normalDensity(p.level(i), 0, 1)
			for b := -2.0; b <= 2; b++ {
				// The score is sufficient: which items were right does not matter.
				chance := logistic(p.level(i) - b)
				if b+2 < tc.score {
					weight *= chance
				} else {
					weight *= 1 - chance
				}
			}
			p.weights[i] = weight
		}
		p.normalise()
		mean, sd := p.Level()
		assert.InDelta(t, tc.mean, mean, 5e-5+1e-6)
		assert.InDelta(t, tc.sd, sd, 5e-5+1e-6)
	}
}

func TestGradedResponseExample(t *testing.T) {
	// Samejima's model, a = 1.5 and cuts −1 and 0.5; digits recomputed.
	for _, tc := range []struct {
		theta       float64
		chances     []float64
		information float64
	}{
		{0, []float64{0.1824, 0.4968, 0.3208}, 0.6287},
		{-1, []float64{0.5, 0.4047, 0.0953}, 0.6059},
		{1, []float64{0.0474, 0.2734, 0.6792}, 0.4996},
	} {
		got := gradedChances(make([]float64, 3), tc.theta, 1.5, -1, 0.5)
		const h = 1e-4
		above := gradedChances(make([]float64, 3), tc.theta+h, 1.5, -1, 0.5)
		below := gradedChances(make([]float64, 3), tc.theta-h, 1.5, -1, 0.5)
		sum, information := 0.0, 0.0
		for k, p := range got {
			assert.InDelta(t, tc.chances[k], p, 5e-5+1e-9)
			slope := (above[k] - below[k]) / (2 * h)
			information += slope * slope / p
			sum += p
		}
		assert.InDelta(t, 1, sum, 1e-12)
		assert.InDelta(t, tc.information, information, 5e-5+1e-6)
	}
}

func TestQuantilesOfABetaPosterior(t *testing.T) {
	// Uniform prior, six of eight: Beta(7, 3); mean and 90 % interval computed
	// elsewhere. One step of the grid stands for a thousandth here.
	weights := make([]float64, 1000)
	total, mean := 0.0, 0.0
	for i := range weights {
		x := (float64(i) + 0.5) / 1000
		weights[i] = math.Pow(x, 6) * math.Pow(1-x, 2)
		total += weights[i]
		mean += x * weights[i]
	}
	for i := range weights {
		weights[i] /= total
	}
	at := func(chance float64) float64 { return quantile(weights, levelStep/2, chance) / (1000 * levelStep) }
	assert.InDelta(t, 0.700, mean/total, 5e-5)
	assert.InDelta(t, 0.4504, at(0.05), 5e-5)
	assert.InDelta(t, 0.9023, at(0.95), 5e-5)
}

func TestChiSquareLimit(t *testing.T) {
	// 99.5 % points of χ² as printed in statistical tables (from memory): 7.879,
	// 12.838, 14.860, 21.955, 28.300 for 1, 3, 4, 8 and 12 degrees of freedom.
	for n, want := range map[int]float64{1: 7.879, 3: 12.838, 4: 14.860, 8: 21.955, 12: 28.300} {
		require.InEpsilon(t, want, chiSquareLimit(n), 0.012)
	}
}
