package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

// The correlations of the measures with the mean judgements of Shmulevich & Povel (2000) were
// computed apart from this package and are not published: they are a regression test of the
// conventions (cyclic, ties, units), and show what each measure is worth alone. Values that differ
// by rounding only count as equal.
func TestCorrelationWithJudgedComplexity(t *testing.T) {
	rows := readTable(t, "povel_essens_1985.csv")
	var judged []float64
	for _, r := range rows {
		judged = append(judged, r.number(t, "mean_complexity_1to5"))
	}
	lowerW := func(p *Pattern) (float64, error) { // best clock with W = 3
		best := 1e9
		for unit := 2; unit <= 4; unit += 2 {
			for phase := range unit {
				clock, err := clockAt(p, unit, phase)
				if err != nil {
					return 0, err
				}
				best = min(best, clock.Score(3))
			}
		}
		return best, nil
	}
	for _, c := range []struct {
		name     string
		f        func(*Pattern) (float64, error)
		rho      float64
		pearson  float64
		otherRho bool // only rho is known
	}{
		{"Longuet-Higgins & Lee", sure(longuetHigginsLee), 0.755, 0.761, false},
		{"Smith & Honing", sure(smithHoning), 0.737, 0.762, false},
		{"C-score, W = 4", povelEssens, 0.741, 0.767, false},
		{"C-score, W = 3", lowerW, 0.743, 0.783, false},
		{"Toussaint metrical", sure(toussaintMetrical), 0.694, 0.678, false},
		{"note to beat", noteToBeat, 0.690, 0.659, false},
		{"profile of musicians", profileMusicians, 0.626, 0.600, false},
		{"profile of non-musicians", profileNonMusicians, 0.527, 0.553, false},
		{"Pressing, all levels", pressingFull, 0.559, 0.554, false},
		{"Keith weighted", keithWeighted, 0.511, 0.516, false},
		{"Keith count", keith, 0.527, 0.571, false},
		{"off-beatness", offBeatness, 0.458, 0.451, false},
		{"swap to the beats", swapToBeats, 0.346, 0.366, false},
		{"nPVI", pairwiseVariability, 0.108, 0.095, false},
		{"entropy of distances", distanceEntropy, -0.266, 0, true},
		{"Lempel-Ziv", lempelZiv, -0.041, 0, true},
	} {
		var values []float64
		for _, r := range rows {
			values = append(values, value(t, c.f, sixteen(t, r["pattern"])))
		}
		assert.InDelta(t, c.rho, spearman(values, judged), 0.0005001, "%s, Spearman", c.name)
		if !c.otherRho {
			assert.InDelta(t, c.pearson, stat.Correlation(values, judged, nil), 0.0005001,
				"%s, Pearson", c.name)
		}
	}
}

// All 35 patterns are orders of the same intervals, so measures of the intervals' distribution or
// of density cannot tell them apart.
func TestDistributionMeasuresAreConstantOnOneMultisetOfIntervals(t *testing.T) {
	for _, id := range []string{"interval-entropy", "distinct-intervals", "density", "density-beat"} {
		m, ok := Find(id)
		require.True(t, ok)
		var first float64
		for i, r := range readTable(t, "povel_essens_1985.csv") {
			v, err := m.On(sixteen(t, r["pattern"]))
			require.NoError(t, err)
			if i == 0 {
				first = v
			}
			assert.InDelta(t, first, v, 1e-12, id)
		}
	}
}

// separated is the chance that a value of high is above one of low, ties counting half.
func separated(low, high []float64) float64 {
	sum := 0.0
	for _, h := range high {
		for _, l := range low {
			if h > l {
				sum++
			} else if h == l {
				sum += 0.5
			}
		}
	}
	return sum / float64(len(low)*len(high))
}

// Grahn & Brett (2007): metric simple sequences were reproduced better than metric complex ones.
// How well a measure separates the 30 from the 30 was computed apart from this package: a
// regression test.
func TestSeparatesMetricSimpleFromComplex(t *testing.T) {
	bestOfFour := func(p *Pattern) (float64, error) {
		best := 1e9
		for phase := range 4 {
			clock, err := clockAt(p, 4, phase)
			if err != nil {
				return 0, err
			}
			best = min(best, clock.Score(4))
		}
		return best, nil
	}
	for _, c := range []struct {
		name string
		f    func(*Pattern) (float64, error)
		want float64
	}{
		{"Longuet-Higgins & Lee", sure(longuetHigginsLee), 1.00},
		{"Fitch & Rosenfeld", sure(fitchRosenfeld), 1.00},
		{"C-score of the beat's clock", povelEssensBeat, 1.00},
		{"C-score of the best clock of four", bestOfFour, 0.94},
		{"note to beat", noteToBeat, 0.997},
		{"Toussaint metrical", sure(toussaintMetrical), 0.98},
		{"off-beatness", offBeatness, 0.79},
		{"nPVI", pairwiseVariability, 0.62},
		{"Lempel-Ziv", lempelZiv, 0.52},
	} {
		var simple, complexes []float64
		for _, r := range readTable(t, "grahn_brett_2007.csv") {
			v := value(t, c.f, cycle(t, r["pattern"], 4, 3, 2, 2))
			if r["condition"] == "metric_simple" {
				simple = append(simple, v)
			} else {
				complexes = append(complexes, v)
			}
		}
		require.Len(t, simple, 30)
		require.Len(t, complexes, 30)
		assert.InDelta(t, c.want, separated(simple, complexes), 0.00501, c.name)
	}
}
