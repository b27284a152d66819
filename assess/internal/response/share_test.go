package response

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/rhythm"
)

func TestShareRisesWithTheWeakestNoteAndFallsWithExtras(t *testing.T) {
	for _, notation := range []string{"x x x x", "xx x xx x", "xxxx xx xxxx xx"} {
		p := rhythm.MustParse(notation, "4/4", 96)
		notes := func(weakest float64) []float64 {
			out := make([]float64, len(p.Strokes()))
			for i := range out {
				out[i] = 1
			}
			out[1] = weakest
			return out
		}
		before := -1.0
		for _, weakest := range []float64{0, 0.25, 0.5, 0.75, 1} {
			now := answeredAs(notes(weakest), nil, 0.03)
			assert.GreaterOrEqual(t, now, before)
			assert.True(t, now >= 0 && now <= 1)
			before = now
		}
		assert.Greater(t, before, 0.7, "everybody clapped everything")
		for _, extra := range []float64{0.2, 0.5, 1} {
			extras := []float64{extra}
			now := answeredAs(notes(1), extras, 0.03)
			assert.Less(t, now, before)
			before = now
		}
		tight, loose := answeredAs(notes(0.5), nil, 0.02), answeredAs(notes(0.5), nil, 0.06)
		assert.Greater(t, tight, loose, "who is losing a phrase claps farther apart")
	}
}

// answeredAs is the estimated share of a group that answers with such energies, and usually claps
// within 30 ms.
func answeredAs(notes, extras []float64, spread float64) float64 {
	a := Amounts{
		Notes: notes, All: notes, Usual: extras, Extras: extras, Spread: spread,
		Looser: math.Log(spread / 0.03),
	}
	return clamp01(a.share().Value)
}

func TestErrorOfAShareIsLeastWhereAllWasClapped(t *testing.T) {
	assert.Less(t, ShareError(1), ShareError(0.8))
	assert.Less(t, ShareError(0.8), ShareError(0.5))
	for share := -0.5; share < 1.5; share += 0.1 {
		assert.True(t, ShareError(share) >= LeastShareError && ShareError(share) < 0.3)
	}
}

func TestNobodyIsHeardWhereNothingSounds(t *testing.T) {
	silent := Amounts{
		Notes: make([]float64, 5), All: make([]float64, 5), Spread: 0.03,
		Quarters: [3]float64{0.7, 0.9, 1},
	}
	for i := range 5 {
		assert.Zero(t, silent.participation(i, 0.5))
	}
}

func TestParticipationRisesWithTheEnergyOfTheNote(t *testing.T) {
	before := -1.0
	for _, own := range []float64{0, 0.2, 0.4, 0.6, 0.8, 1} {
		a := Amounts{All: []float64{0.9, own, 0.8, 1}, Spread: 0.03, Quarters: [3]float64{0.7, 0.9, 1}}
		now := a.participation(1, 0.5)
		assert.Greater(t, now, before)
		before = now
	}
}

func TestScoreIsTheFMeasure(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 96)
	assert.InDelta(t, 1, score(answered(p, []float64{1, 1, 1, 1})), 1e-12)
	assert.Zero(t, score(answered(p, []float64{0, 0, 0, 0}, 4, 1)))
	// Three of four notes and one stroke beside: recall 3/4, precision 3/4.
	assert.InDelta(t, 0.75, score(answered(p, []float64{1, 1, 1, 0}, 4, 1)), 1e-12)
	// Everything at half: recall 1/2, precision 1; F = 2·½·1/(3/2).
	assert.InDelta(t, 2.0/3, score(answered(p, []float64{0.5, 0.5, 0.5, 0.5})), 1e-12)
}

func TestWhatIsHeardOfAShareRisesWithIt(t *testing.T) {
	for notes := 2; notes <= 30; notes++ {
		mean, variance := ReadingOf(readingMean[:], notes), ReadingOf(readingVariance[:], notes)
		before := -1.0
		for p := 0.0; p <= 1; p += 0.05 {
			heard := mean[0] + p*(mean[1]+p*mean[2])
			assert.Greater(t, heard, before, "%d notes", notes)
			assert.Positive(t, variance[0]+p*(variance[1]+p*variance[2]), "%d notes", notes)
			f := ReadingFeatures(p, notes)
			assert.InDelta(t, weigh(readingMean[:], f[:]), heard, 1e-12)
			before = heard
		}
		assert.Greater(t, mean[0], 0.0, "an estimate keeps to the middle")
		assert.Less(t, before, 1.1)
	}
}
