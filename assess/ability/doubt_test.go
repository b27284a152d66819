package ability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestVerdictsAreOrdered(t *testing.T) {
	level := func(v Verdict) float64 {
		m, _ := after(t, prior(t, PriorForTiers(9)), Observation{Difficulty: 5, Verdict: v}).Level()
		return m
	}
	assert.Less(t, level(Lost)+0.5, level(Partly))
	assert.Less(t, level(Partly)+0.5, level(Got))
	for p := 0.0; p <= 1; p += 0.125 {
		assert.InDelta(t, 1, verdictChance(Lost, p, 0.2)+verdictChance(Partly, p,
			0.2)+verdictChance(Got, p, 0.2), 1e-12)
	}
}

func TestMoreDoubtMeansLessSaid(t *testing.T) {
	start := prior(t, PriorForTiers(9))
	sd := func(o Observation) float64 {
		o.Difficulty, o.Share = 5, 0.6
		_, s := after(t, start, o).Level()
		return s
	}
	base := Observation{ShareSD: 0.1, DifficultySD: 0.3, People: 25}
	for name, worse := range map[string]Observation{
		"microphone":       {ShareSD: 0.2, DifficultySD: 0.3, People: 25},
		"difficulty":       {ShareSD: 0.1, DifficultySD: 0.8, People: 25},
		"few people":       {ShareSD: 0.1, DifficultySD: 0.3, People: 4},
		"doubt":            {ShareSD: 0.1, DifficultySD: 0.3, People: 25, Doubt: 0.4},
		"people not known": {ShareSD: 0.1, DifficultySD: 0.3},
	} {
		assert.Greater(t, sd(worse), sd(base), name)
	}
	_, before := start.Level()
	assert.InDelta(t, before, sd(Observation{ShareSD: 0.1, Doubt: 1}), 1e-9,
		"a round that is surely wrong says nothing")
}

func TestAllOrNothingIsFinite(t *testing.T) {
	for _, share := range []float64{0, 1, -0.4, 1.7, 1e300} {
		p := prior(t, PriorForTiers(9))
		for round := range 12 {
			p = after(t, p, Observation{
				Difficulty: float64(1 + round%9), DifficultySD: 0.5,
				Share: share, ShareSD: 0.05, People: 60,
			})
		}
		mean, sd := p.Level()
		if share <= 0 {
			assert.Less(t, mean, 1.0)
		} else {
			assert.Greater(t, mean, 9.0)
		}
		assert.Less(t, math.Abs(mean-5), 9.0)
		assert.Greater(t, sd, 0.1)
		assert.Less(t, sd, 2.0)
	}
}

func TestOneWrongRoundDoesNotWreckTheEstimate(t *testing.T) {
	var rounds []Observation
	for i, share := range []float64{0.9, 0.8, 0.68, 0.52, 0.3, 0.6, 0.44} {
		rounds = append(rounds, Observation{
			Difficulty: []float64{2, 3, 4, 5, 6, 4.5, 5.5}[i], DifficultySD: 0.3,
			Share: share, ShareSD: 0.1, People: 25,
		})
	}
	clean := after(t, prior(t, PriorForTiers(9)), rounds...)
	want, sd := clean.Level()
	for _, wrong := range []Observation{
		{Difficulty: 2, DifficultySD: 0.3, Share: 0, ShareSD: 0.1, People: 25},
		{Difficulty: 8, DifficultySD: 0.3, Share: 1, ShareSD: 0.1, People: 25},
	} {
		got, _ := after(t, clean, wrong).Level()
		assert.InDelta(t, want, got, 0.5*sd, "wrong at the end")
		got, _ = after(t, prior(t, PriorForTiers(9)), append([]Observation{wrong}, rounds...)...).Level()
		assert.InDelta(t, want, got, 0.5*sd, "wrong at the beginning")
	}
}
