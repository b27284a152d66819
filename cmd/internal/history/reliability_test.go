package history

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// openings simulates outcomes of openers whose chances are worth what truth makes of them.
func openings(rng *rand.Rand, n int, truth func(stated float64) float64) []Outcome {
	var out []Outcome
	for range n {
		stated := 0.3 + 0.69*rng.Float64()
		o := Outcome{Heard: []string{"partly", "lost"}[rng.IntN(2)], Opener: Opener{Chance: &stated}}
		if rng.Float64() < truth(stated) {
			o.Heard = "got"
		}
		out = append(out, o)
	}
	return out
}

func itself(p float64) float64 { return p }

func TestReliabilityCountsByBand(t *testing.T) {
	chance := func(p float64) Opener { return Opener{Chance: &p} }
	r := NewReliability([]Outcome{
		{Heard: "got", Opener: chance(0.95)},
		{Heard: "got", Opener: chance(0.9)},
		{Heard: "partly", Opener: chance(0.8)},
		{Heard: "lost", Opener: chance(0.1)},
		{Heard: "lost"}, // nobody said how likely it was
	})
	assert.Equal(t, 4, r.Cases)
	assert.InDelta(t, (0.05*0.05+0.1*0.1+0.8*0.8+0.1*0.1)/4, r.Brier, 1e-12)
	assert.Equal(t, []float64{0, 1}, []float64{r.BrierLow, r.BrierHigh}, "four cases say nothing yet")
	if assert.Len(t, r.Bands, 3) {
		assert.Equal(t, 2, r.Bands[2].Came)
		assert.InDelta(t, 0.925, r.Bands[2].Stated, 1e-12)
		assert.Zero(t, r.Bands[1].Came, "partly is not managed by seven in ten")
	}
}

// The interval of 81 successes in 263 cases is the worked example of Agresti & Coull, quoted for
// the 95 % Wilson interval as 0.2553 to 0.3662 (Newcombe 1998, Statistics in Medicine 17, 857-872;
// from memory); here for 90 % by the same formula.
func TestWilsonIntervalOfAPublishedExample(t *testing.T) {
	low, high := wilson(81, 263)
	assert.Greater(t, low, 0.2553)
	assert.Less(t, high, 0.3662)
	low, high = wilson(0, 10)
	assert.Zero(t, low)
	assert.InDelta(t, normal95*normal95/(10+normal95*normal95), high, 1e-9, "closed form for no success")
}

func TestIntervalsHoldTheTruthNineTimesInTen(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	const trials = 1500
	brier, band := 0, 0
	truth := 0.0 // of Brier's score for chances that are right
	for i := range 10_000 {
		p := 0.3 + 0.69*(float64(i)+0.5)/10_000
		truth += p * (1 - p) / 10_000
	}
	for range trials {
		r := NewReliability(openings(rng, 12, itself))
		if r.BrierLow <= truth && truth <= r.BrierHigh {
			brier++
		}
		b := r.Bands[0]
		if b.Low <= b.Stated && b.Stated <= b.High {
			band++
		}
	}
	assert.InDelta(t, 0.9, float64(brier)/trials, 0.05)
	assert.Greater(t, float64(band)/trials, 0.87)
}

func TestFewOutcomesHardlyMoveAChance(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	assert.Equal(t, 0.7, Recalibrate(openings(rng, 4, itself)).Apply(0.7))
	lost := openings(rng, 6, func(float64) float64 { return 0 })
	moved := Recalibrate(lost).Apply(0.7)
	assert.Less(t, moved, 0.7)
	assert.Greater(t, moved, 0.35, "six lost openers are not the whole truth")
}

func TestManyOutcomesMoveChancesToWhatTheyAreWorth(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	worth := func(p float64) float64 { return 1 / (1 + math.Exp(-(logit(p) - 1))) }
	c := Recalibrate(openings(rng, 2000, worth))
	for _, p := range []float64{0.5, 0.7, 0.9} {
		assert.InDelta(t, worth(p), c.Apply(p), 0.06)
	}
	right := Recalibrate(openings(rng, 2000, itself))
	for _, p := range []float64{0.5, 0.7, 0.9} {
		assert.InDelta(t, p, right.Apply(p), 0.05)
	}
}

// The score of chances that were too high by a logit falls by recalibrating on others of the same
// kind, and that of chances that were right rises by next to nothing.
func TestRecalibrationHelpsWhereItShouldAndHarmsNowhere(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for _, test := range []struct {
		shift, least, most float64
	}{{-1, -1, -0.01}, {0, -1, 0.006}} {
		worth := func(p float64) float64 { return 1 / (1 + math.Exp(-(logit(p) + test.shift))) }
		change := 0.0
		const trials = 60
		for range trials {
			c := Recalibrate(openings(rng, 20, worth))
			for _, o := range openings(rng, 50, worth) {
				before, after := *o.Chance-o.came(), c.Apply(*o.Chance)-o.came()
				change += (after*after - before*before) / 50 / trials
			}
		}
		assert.Greater(t, change, test.least)
		assert.Less(t, change, test.most)
	}
}

func TestRecalibrationKeepsOrderAndCanBeTakenBack(t *testing.T) {
	c := Calibration{Shift: -0.4, Slope: 0.8, Cases: 9}
	for p := 0.01; p < 0.985; p += 0.01 {
		assert.Less(t, c.Apply(p), c.Apply(p+0.01))
		assert.InDelta(t, p, c.Invert(c.Apply(p)), 1e-9)
	}
	assert.Equal(t, 0.3, Unmoved.Apply(0.3))
	assert.Equal(t, 0.3, Unmoved.Invert(0.3))
}

// What was raw counts: learning from chances that were moved already would move them twice.
func TestRawChancesAreLearntFrom(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	plain := openings(rng, 40, func(p float64) float64 { return p * p })
	moved := append([]Outcome{}, plain...)
	for i := range moved {
		raw, shown := *moved[i].Chance, 0.5**moved[i].Chance
		moved[i].Raw, moved[i].Chance = &raw, &shown
	}
	assert.Equal(t, Recalibrate(plain), Recalibrate(moved))
}
