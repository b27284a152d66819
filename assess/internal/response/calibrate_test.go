package response

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func TestCalibrate(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 96)
	body := rhythm.MustParse("x s x s", "4/4", 96)
	heard := func(p rhythm.Phrase,
		energy ...float64,
	) Heard {
		return Heard{Answer: Answer{Phrase: p}, Notes: energy}
	}
	for _, test := range []struct {
		law        string
		heard      []Heard
		difficulty []float64
		clap       float64
		stamp      float64
		sure       bool
	}{
		{"nothing heard", nil, nil, 0, 0, false},
		{
			"an easy phrase is the measure",
			[]Heard{heard(p, 2, 2, 2, 2), heard(p, 1, 1, 1, 1)},
			[]float64{1, 5},
			2, 0, true,
		},
		{
			"without one the best notes are",
			[]Heard{heard(p, 2, 1, 1, 1), heard(p, 1, 1, 1, 1)},
			[]float64{4, 5},
			1, 0, false,
		},
		{
			"an easy phrase that few answered does not lower it",
			[]Heard{heard(p, 0.1, 0.1, 0.1, 0.1), heard(p, 2, 2, 2, 2)},
			[]float64{1, 5},
			1.6, 0, true,
		},
		{"stamps are measured apart", []Heard{heard(body, 2, 6, 2, 6)}, []float64{3}, 2, 6, false},
	} {
		t.Run(test.law, func(t *testing.T) {
			c := Calibrate(test.heard, test.difficulty)
			assert.InDelta(t, test.clap, c.Full[rhythm.Clap], 1e-9)
			assert.InDelta(t, test.stamp, c.Full[rhythm.Stamp], 1e-9)
			assert.Equal(t, test.sure, c.Sure)
		})
	}
}

func TestAllAnswersCorrectWhatThePlainestPhrasesGive(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 96)
	full := func(plain float64, others ...float64) float64 {
		heard := []Heard{{Answer: Answer{Phrase: p}, Notes: []float64{plain, plain, plain, plain}}}
		difficulty := []float64{1}
		for _, x := range others {
			h := Heard{Answer: Answer{Phrase: p}, Notes: []float64{x, x, x, x}}
			h.Extras = []Extra{{Step: 0.5, Energy: 1 - x}} // who left a note out clapped elsewhere
			heard, difficulty = append(heard, h), append(difficulty, 5)
		}
		return Calibrate(heard, difficulty).Full[rhythm.Clap]
	}
	right := full(1, 0.9, 0.9, 0.9, 0.9, 0.9)
	low, high := full(0.8, 0.9, 0.9, 0.9, 0.9, 0.9), full(1.2, 0.9, 0.9, 0.9, 0.9, 0.9)
	assert.Greater(t, low/0.8, right, "the plain phrase was heard too low")
	assert.Less(t, high/1.2, right, "and here too high")
	assert.Less(t, high-low, 0.3, "so that the full group depends less on it")
	assert.InDelta(t, 0.8, full(0.8, 0.6), 1e-9, "a few answers correct nothing")
	assert.InDelta(t, 1, full(1, 0, 0, 0, 0, 0), 0.35, "and silence hardly more")
}

func TestAmountsScaleWithTheFullGroup(t *testing.T) {
	a := Amounts{
		Notes: []float64{1, 0.5}, All: []float64{1, 0.6}, Extras: []float64{0.2}, Usual: []float64{0.2},
		Beside: 0.1, Quarters: [3]float64{0.5, 0.7, 0.9},
	}
	b := a.Scaled(0.5)
	assert.Equal(t, []float64{0.5, 0.25}, b.Notes)
	assert.Equal(t, []float64{0.1}, b.Extras)
	assert.InDelta(t, a.total()/2, b.total(), 1e-12)
	assert.Equal(t, []float64{1, 0.5}, a.Notes, "what was given stays")
}

func TestResultDividesByTheCalibration(t *testing.T) {
	p := rhythm.MustParse("x xx . x", "4/4", 120)
	m := p.TimeMap(5)
	h := Heard{
		Answer: Answer{Phrase: p, Expected: p.TimeMap(5.1)}, Map: m, Spread: 0.03,
		Notes: []float64{3, 3, 0, 3}, Extras: []Extra{{Step: 4, Energy: 0.9}, {Step: 7, Energy: 0.1}},
	}
	r := h.Result(Calibration{Full: [4]float64{3}, Sure: true})
	require.Len(t, r.Notes, 4)
	assert.Greater(t, r.Notes[0].Participation, 0.85)
	assert.Less(t, r.Notes[2].Participation, 0.35)
	assert.InDelta(t, 5, r.Start, 1e-9)
	assert.InDelta(t, 7, r.End, 1e-9)
	assert.InDelta(t, -0.1, r.Offset, 1e-9)
	assert.InDelta(t, 120, r.Tempo, 1e-9)
	assert.Greater(t, r.Pulse, r.Pattern)
	require.Len(t, r.Extras, 1, "what few did is not mentioned")
	assert.InDelta(t, 0.3, r.Extras[0].Participation, 0.12, "about what its energy says")
	silent := h.Result(Calibration{})
	for _, n := range silent.Notes {
		assert.Zero(t, n.Participation)
		assert.True(t, math.IsNaN(n.Played))
	}
	assert.Zero(t, silent.Score)
}
