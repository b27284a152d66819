package response

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/tape"
	"clapladder.example/rhythm"
)

func TestMixtureRecoversKnownAmplitudes(t *testing.T) {
	shape := onset.NewShape(onset.Kernel{Direct: 0.4, Decay: 0.05}, 0.03)
	for law, test := range map[string]struct{ times, amplitudes []float64 }{
		"far apart":         {[]float64{0.3, 0.9, 1.5}, []float64{1, 0.5, 0.8}},
		"overlapping":       {[]float64{0.3, 0.45, 0.6, 0.75}, []float64{1, 0.3, 0.9, 0.6}},
		"one that is empty": {[]float64{0.3, 0.6, 0.9}, []float64{1, 0, 1}},
		"very soft":         {[]float64{0.3, 0.6}, []float64{1e-4, 5e-5}},
	} {
		t.Run(law, func(t *testing.T) {
			w := window{energy: make([]float64, 600), floor: 1e-9}
			truth := newMixture(w)
			for i, at := range test.times {
				truth.add(shape, at, test.amplitudes[i])
			}
			truth.predict()
			copy(w.energy, truth.model)
			m := newMixture(w)
			for _, at := range test.times {
				m.add(shape, at, 0.5*test.amplitudes[0])
			}
			m.fit(300)
			for i, want := range test.amplitudes {
				assert.InDelta(t, want, m.amplitudes[i], 0.03*test.amplitudes[0], "burst %d", i)
				if want > 0 {
					assert.InDelta(t, 0, m.late(i), 0.002)
				}
			}
		})
	}
}

func TestMoreRoundsNeverFitWorse(t *testing.T) {
	shape := onset.NewShape(onset.Kernel{Direct: 0.4, Decay: 0.05}, 0.03)
	r := rand.New(rand.NewPCG(1, 1))
	w := window{energy: make([]float64, 400), floor: 1e-6}
	for i := range w.energy {
		w.energy[i] = r.ExpFloat64()
	}
	before := math.Inf(-1)
	for _, rounds := range []int{0, 1, 3, 10, 40, 100} {
		m := newMixture(w)
		for _, at := range []float64{0.2, 0.5, 0.8, 1.1} {
			m.add(shape, at, 1)
		}
		now := m.fit(rounds)
		assert.GreaterOrEqual(t, now, before-1e-9)
		before = now
	}
}

func TestSlotsAreNotesAndWherePeopleSlipTo(t *testing.T) {
	for _, test := range []struct {
		law, meter, notation string
		tempo                float64
		notes, free          []float64 // in beats from bar 1
	}{
		{
			"beats, halves, the beat after the end and one before", "4/4", "x x . x", 96,
			[]float64{0, 1, 3},
			[]float64{-0.5, 0.5, 1.5, 2, 2.5, 3.5, 4},
		},
		{
			"the divisions that the phrase uses", "2/4", "x..x .", 60,
			[]float64{0, 0.75},
			[]float64{-0.5, 0.25, 0.5, 1, 1.5, 2},
		},
		{
			"thirds in compound beats", "6/8", "x .", 60,
			[]float64{0},
			[]float64{-0.5, 1.0 / 3, 2.0 / 3, 1, 4.0 / 3, 5.0 / 3, 2},
		},
		{"nothing closer than can be told apart", "2/4", "x..x .", 200, []float64{0, 0.75}, nil},
	} {
		t.Run(test.law, func(t *testing.T) {
			p := rhythm.MustParse(test.notation, test.meter, test.tempo)
			beat := float64(p.BeatSteps()[1])
			var notes, free []float64
			places := slots(p, p.StepSeconds())
			for i, s := range places {
				if i > 0 {
					assert.Greater(t, s.step, places[i-1].step, "in order")
					assert.GreaterOrEqual(t, (s.step-places[i-1].step)*p.StepSeconds(), closest-1e-9)
				}
				if s.note >= 0 {
					assert.Equal(t, float64(p.Strokes()[s.note].Step), s.step)
					notes = append(notes, s.step/beat)
				} else {
					free = append(free, s.step/beat)
				}
			}
			assert.InDeltaSlice(t, test.notes, notes, 1e-9)
			if test.free != nil {
				assert.InDeltaSlice(t, test.free, free, 1e-9)
			}
		})
	}
}

// crowd claps notes at given times: hands[i] people around times[i], each at the same strength, in
// a dry room.
func crowd(t testing.TB, seconds float64, times []float64, hands []int, spread float64) *onset.Analysis {
	r := rand.New(rand.NewPCG(9, 9))
	samples := make(tape.Tape, int(seconds*onset.SampleRate))
	for i := range samples {
		samples[i] = float32(0.0003 * r.NormFloat64())
	}
	for i, at := range times {
		for range hands[i] {
			start := int((at + spread*r.NormFloat64()) * onset.SampleRate)
			for k := range 600 {
				if start+k >= 0 && start+k < len(samples) {
					samples[start+k] += float32(0.05 * r.NormFloat64() * math.Exp(-float64(k)/100))
				}
			}
		}
	}
	a, err := onset.Analyse(context.Background(), &samples)
	require.NoError(t, err)
	return a
}

func TestMeasureHearsHowManyClapped(t *testing.T) {
	p := rhythm.MustParse("x x xx x", "4/4", 96)
	expected := p.TimeMap(1)
	played := rhythm.TimeMap{Origin: 1.04, StepSeconds: p.StepSeconds() / 1.02}
	hands := []int{24, 24, 24, 10, 20, 12} // the last where the phrase has nothing
	var times []float64
	for _, s := range p.Strokes() {
		times = append(times, played.At(float64(s.Step)))
	}
	times = append(times, played.At(float64(p.Steps())))
	a := crowd(t, 5, times, hands, 0.03)
	h := Measure(a, NewShapes(a.Kernel), Answer{
		Phrase: p, Expected: expected,
		Guess: rhythm.TimeMap{Origin: 1.02, StepSeconds: expected.StepSeconds}, Until: math.Inf(1),
	})
	full := (h.Notes[0] + h.Notes[1] + h.Notes[2]) / 3
	for i, energy := range h.Notes {
		assert.InDelta(t, float64(hands[i])/24, energy/full, 0.17, "note %d", i)
	}
	assert.InDelta(t, 0.03, h.Spread, 0.01)
	assert.InDelta(t, 96*1.02, h.Map.Tempo(p), 1.5)
	assert.InDelta(t, times[0], h.Map.At(0), 0.02)
	most := Extra{}
	for _, x := range h.Extras {
		if x.Energy > most.Energy {
			most = x
		}
	}
	assert.InDelta(t, float64(p.Steps()), most.Step, 1e-9, "the clap after the end is where it was")
	assert.InDelta(t, 0.5, most.Energy/full, 0.2)

	result := h.Result(Calibrate([]Heard{h}, []float64{1}))
	assert.InDelta(t, 0.03, result.Offset, 0.025, "late by 40 ms at first, then catching up")
	assert.InDelta(t, 1.02, result.Ratio, 0.012)
	assert.Contains(t, kindsOf(result.Errors), ExtraTail)
	again := Measure(a, NewShapes(a.Kernel), Answer{
		Phrase: p, Expected: expected,
		Guess: rhythm.TimeMap{Origin: 1.02, StepSeconds: expected.StepSeconds}, Until: math.Inf(1),
	})
	assert.Equal(t, h, again, "same sound, same figures")
}

func TestMeasureOutsideTheRecordingFindsNothing(t *testing.T) {
	p := rhythm.MustParse("x x xx x", "4/4", 96)
	a := crowd(t, 3, []float64{1, 1.625, 2.25}, []int{10, 10, 10}, 0.03)
	shapes := NewShapes(a.Kernel)
	for law, answer := range map[string]Answer{
		"after the end": {
			Guess: p.TimeMap(60), Expected: p.TimeMap(60),
			Until: math.Inf(1),
		},
		"before the start": {
			Guess: p.TimeMap(-20), Expected: p.TimeMap(-20),
			Until: math.Inf(1),
		},
		"cut by the next call": {Guess: p.TimeMap(1), Expected: p.TimeMap(1), Until: 1.5},
		"cut before it begins": {Guess: p.TimeMap(1), Expected: p.TimeMap(1), Until: 0.2},
		"a leader's stroke far away": {
			Guess: p.TimeMap(1), Expected: p.TimeMap(1),
			Until: math.Inf(1), Leader: []float64{-5, 2.9, 400},
		},
		"over the end of the recording": {Guess: p.TimeMap(2), Expected: p.TimeMap(2), Until: math.Inf(1)},
		"over the start of the recording": {
			Guess: p.TimeMap(-1), Expected: p.TimeMap(-1),
			Until: math.Inf(1),
		},
	} {
		t.Run(law, func(t *testing.T) {
			answer.Phrase = p
			var h Heard
			require.NotPanics(t, func() { h = Measure(a, shapes, answer) })
			result := h.Result(Calibrate([]Heard{h}, []float64{3}))
			for _, n := range result.Notes {
				assert.False(t, math.IsNaN(n.Participation), "%+v", n)
			}
			assert.False(t, math.IsNaN(result.Score))
		})
	}
}

func kindsOf(errors []Error) []Kind {
	var out []Kind
	for _, e := range errors {
		out = append(out, e.Kind)
	}
	return out
}

func ExampleCalibrate() {
	p := rhythm.MustParse("x x x x", "4/4", 96)
	easy := Heard{Answer: Answer{Phrase: p}, Notes: []float64{2.0, 2.1, 1.9, 2.0}}
	hard := Heard{Answer: Answer{Phrase: p}, Notes: []float64{1.0, 0.5, 1.2, 0.9}}
	c := Calibrate([]Heard{easy, hard}, []float64{1, 5})
	fmt.Println(c.Full[rhythm.Clap], c.Sure)
	// Output: 2 true
}
