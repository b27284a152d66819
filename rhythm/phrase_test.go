package rhythm_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func steps(p rhythm.Phrase) []int {
	var out []int
	for _, s := range p.Strokes() {
		out = append(out, s.Step)
	}
	return out
}

func TestPositionsAreExactOnTheCoarsestGrid(t *testing.T) {
	for _, test := range []struct {
		law, meter, notation string
		perQuarter           int
		strokes, beats       []int
	}{
		{"quarters need one step each", "4/4", "x x . x", 1, []int{0, 1, 3}, []int{0, 1, 2, 3, 4}},
		{"thirds of a beat", "2/4", "xxx x", 3, []int{0, 1, 2, 3}, []int{0, 3, 6}},
		{"thirds beside sixteenths", "2/4", "x.x x..x", 12, []int{0, 8, 12, 21}, []int{0, 12, 24}},
		{"quintuplets", "2/4", "xxxxx x", 5, []int{0, 1, 2, 3, 4, 5}, []int{0, 5, 10}},
		{"sevenths beside fifths", "2/4", ".x..... ....x", 35, []int{5, 63}, []int{0, 35, 70}},
		{"eighths in a compound metre", "6/8", "x.x xx.", 2, []int{0, 2, 3, 4}, []int{0, 3, 6}},
		{"duplets in a compound metre", "6/8", "xx x", 4, []int{0, 3, 6}, []int{0, 6, 12}},
		{
			"additive beats of two and three eighths", "7/8=2+2+3", "x .x x.x", 2,
			[]int{0, 3, 4, 6},
			[]int{0, 2, 4, 7},
		},
		{"a duplet over an additive beat of three", "5/8=2+3", "x xx", 4, []int{0, 4, 7}, []int{0, 4, 10}},
		{"halves as beats keep whole quarters", "2/2", "x x", 1, []int{0, 2}, []int{0, 2, 4}},
		{"triplets over halves", "2/2", "xxx x", 3, []int{0, 2, 4, 6}, []int{0, 6, 12}},
		{"the second bar follows the first", "2/4", "x x | .x x", 2, []int{0, 2, 5, 6}, []int{0, 2, 4, 6, 8}},
	} {
		t.Run(test.law, func(t *testing.T) {
			p := rhythm.MustParse(test.notation, test.meter, 96)
			assert.Equal(t, test.perQuarter, p.StepsPerQuarter())
			assert.Equal(t, test.strokes, steps(p))
			assert.Equal(t, test.beats, p.BeatSteps())
			assert.Equal(t, len(test.beats)-1, p.Beats())
			assert.Equal(t, test.beats[len(test.beats)-1], p.Steps())
			assert.Equal(t, p.Steps(), p.BarSteps()*p.Bars())
		})
	}
}

// The lengths follow from the tempo's definition: 60 s over beats a minute.
func TestSecondsFollowWhatTheTempoCounts(t *testing.T) {
	for _, test := range []struct {
		law, meter, notation string
		tempo                float64
		step, duration       float64
		seconds              []float64
	}{
		{"quarters in 4/4", "4/4", "x x x x", 120, 0.5, 2, []float64{0, 0.5, 1, 1.5}},
		{"dotted quarters in 6/8", "6/8", "x.x x", 60, 1.0 / 3, 2, []float64{0, 2.0 / 3, 1}},
		{"halves in 2/2", "2/2", "x xx", 60, 0.5, 2, []float64{0, 1, 1.5}},
		{"quarters in additive metres", "7/8=2+2+3", "x x x.x", 60, 0.5, 3.5, []float64{0, 1, 2, 3}},
		{"quarters in grouped quarters", "5/4=3+2", "x . . x .", 100, 0.6, 3, []float64{0, 1.8}},
		{"quarters where 6/8 is three of them", "6/8=2+2+2", "x x x", 60, 0.5, 3, []float64{0, 1, 2}},
		{"a silent tail belongs to the length", "4/4", "x . . .", 60, 1, 4, []float64{0}},
	} {
		t.Run(test.law, func(t *testing.T) {
			p := rhythm.MustParse(test.notation, test.meter, test.tempo)
			assert.InDelta(t, test.step, p.StepSeconds(), 1e-12)
			assert.InDelta(t, test.duration, p.Duration(), 1e-12)
			m := p.TimeMap(10)
			assert.InDelta(t, test.tempo, m.Tempo(p), 1e-9)
			assert.InDelta(t, test.duration, m.BeatSeconds(p)*float64(p.Beats()), 1e-9,
				"all beats together are the phrase")
			for i, s := range p.Strokes() {
				assert.InDelta(t, test.seconds[i], p.Seconds(s.Step), 1e-12)
				assert.InDelta(t, 10+test.seconds[i], m.At(float64(s.Step)), 1e-12)
				assert.InDelta(t, float64(s.Step), m.StepOf(10+test.seconds[i]), 1e-9)
			}
			half := rhythm.TimeMap{Origin: 0, StepSeconds: 2 * p.StepSeconds()}
			assert.InDelta(t, test.tempo/2, half.Tempo(p), 1e-9, "steps twice as long are half the tempo")
		})
	}
	m := rhythm.TimeMap{Origin: 1, StepSeconds: 0.25}
	assert.InDelta(t, 0.5, m.At(-2), 1e-15, "before the phrase")
	assert.InDelta(t, 1.125, m.At(0.5), 1e-15, "between steps")
}

func TestPositionsBetweenStepsCountOn(t *testing.T) {
	p := rhythm.MustParse("x x . x | x x x x", "4/4", 96) // a step is a beat
	for step, want := range map[float64][2]float64{
		0.5: {1, 1.5}, 3.25: {1, 4.25}, 4: {2, 1},
		4.5: {2, 1.5}, -0.5: {1, 0.5}, 8: {2, 5},
	} {
		bar, beat := p.PositionAt(step)
		assert.Equal(t, want, [2]float64{float64(bar), beat}, "step %g", step)
	}
}

func TestPositionCountsAsPeopleDo(t *testing.T) {
	for _, test := range []struct {
		law, meter, notation string
		step, bar            int
		beat                 float64
	}{
		{"the first step is bar 1 beat 1", "4/4", "xx x x x", 0, 1, 1},
		{"halfway through beat 2", "4/4", "xx x x x", 3, 1, 2.5},
		{"the next bar", "2/4", "xx x | x x", 4, 2, 1},
		{"a third of beat 2 in 6/8", "6/8", "x.x xxx", 4, 1, 2 + 1.0/3},
		{"the long beat of an additive bar", "7/8=2+2+3", "x x x.x", 6, 1, 3 + 2.0/3},
		{"before the phrase", "4/4", "xx x x x", -1, 1, 0.5},
		{"the end is one beat after the last", "4/4", "xx x x x", 8, 1, 5},
	} {
		t.Run(test.law, func(t *testing.T) {
			bar, beat := rhythm.MustParse(test.notation, test.meter, 96).Position(test.step)
			assert.Equal(t, test.bar, bar)
			assert.InDelta(t, test.beat, beat, 1e-12)
		})
	}
	bar, beat := rhythm.Phrase{}.Position(3)
	assert.Equal(t, 1, bar)
	assert.Equal(t, 1.0, beat)
}

func TestBeatAt(t *testing.T) {
	p := rhythm.MustParse("x x x.x | x x x", "7/8=2+2+3", 96)
	for step, want := range map[int]int{-5: 0, 0: 0, 1: 0, 2: 1, 4: 2, 6: 2, 7: 3, 13: 5, 14: 5, 99: 5} {
		assert.Equal(t, want, p.BeatAt(step), "step %d", step)
	}
}

func TestBoxes(t *testing.T) {
	p := rhythm.MustParse("x..s xxx . P", "4/4", 96)
	assert.Equal(t, "x..s", string(p.Boxes(0, 4)))
	assert.Equal(t, "x.....", string(p.Boxes(0, 6)), "what falls between boxes is left out")
	assert.Equal(t, []int{4, 3, 1, 1}, []int{
		p.BoxesPerBeat(0), p.BoxesPerBeat(1),
		p.BoxesPerBeat(2), p.BoxesPerBeat(3),
	})
	assert.Equal(t, "P...", string(p.Boxes(3, 4)))
}

func TestStrokesCarrySoundAndAccent(t *testing.T) {
	p := rhythm.MustParse("x S p N", "4/4", 96)
	assert.Equal(t, []rhythm.Stroke{
		{Step: 0, Sound: rhythm.Clap},
		{Step: 1, Sound: rhythm.Stamp, Accent: true},
		{Step: 2, Sound: rhythm.Pat},
		{Step: 3, Sound: rhythm.Snap, Accent: true},
	}, p.Strokes())
	names := ""
	for _, s := range p.Strokes() {
		names += s.Sound.String() + " "
	}
	assert.Equal(t, "clap stamp pat snap ", names)
	assert.Equal(t, "unknown sound", rhythm.Sound(9).String())
}

func TestNewRefuses(t *testing.T) {
	four, one := rhythm.MustParseMeter("4/4"), []rhythm.Stroke{{}}
	for _, test := range []struct {
		law        string
		meter      rhythm.Meter
		tempo      float64
		bars, grid int
		strokes    []rhythm.Stroke
		want       string
	}{
		{"no metre", rhythm.Meter{}, 96, 1, 4, one, "a phrase needs a metre"},
		{"no bar", four, 96, 0, 4, one, "a phrase has 1 to 64 bars, not 0"},
		{"too many bars", four, 96, 65, 4, one, "a phrase has 1 to 64 bars, not 65"},
		{"no grid", four, 96, 1, 0, one, "0 steps a quarter note is not a usable grid"},
		{
			"a grid beyond use", four, 96, 1, 1 << 40, one,
			"1099511627776 steps a quarter note is not a usable grid",
		},
		{
			"a grid that cuts eighths", rhythm.MustParseMeter("6/8"), 96, 1, 3, one,
			"a grid of 3 steps a quarter does not hold the beats of 6/8",
		},
		{"silence", four, 96, 1, 4, nil, "a phrase needs at least one stroke"},
		{"a tempo too slow", four, 10, 1, 4, one, "tempo 10 is outside 20 to 400 beats a minute"},
		{
			"a tempo that is no number", four, math.NaN(), 1, 4, one,
			"tempo NaN is outside 20 to 400 beats a minute",
		},
		{
			"a stroke before the phrase", four, 96, 1, 4,
			[]rhythm.Stroke{{Step: -1}},
			"a stroke lies outside the 1 bars of the phrase",
		},
		{
			"a stroke at the end", four, 96, 1, 4,
			[]rhythm.Stroke{{Step: 16}},
			"a stroke lies outside the 1 bars of the phrase",
		},
		{
			"two strokes at once", four, 96, 2, 4,
			[]rhythm.Stroke{{Step: 18}, {Step: 0}, {Step: 18, Sound: rhythm.Stamp}},
			"two strokes at bar 2, beat 1.5",
		},
		{"a sound that is not there", four, 96, 1, 4, []rhythm.Stroke{{Sound: 4}}, "sound 4 does not exist"},
		{
			"more boxes than a beat has", four, 96, 1, 17,
			[]rhythm.Stroke{{Step: 0}, {Step: 18}},
			"bar 1, beat 2 needs 17 boxes, more than 16",
		},
	} {
		t.Run(test.law, func(t *testing.T) {
			p, err := rhythm.New(test.meter, test.tempo, test.bars, test.grid, test.strokes)
			assert.EqualError(t, err, test.want)
			assert.True(t, p.IsZero())
		})
	}
}

func TestNewSortsCopiesAndReducesTheGrid(t *testing.T) {
	given := []rhythm.Stroke{{Step: 24, Accent: true}, {Step: 0}, {Step: 36}}
	p, err := rhythm.New(rhythm.MustParseMeter("4/4"), 96, 1, 24, given)
	require.NoError(t, err)
	assert.Equal(t, "x Xx . .", p.String())
	assert.Equal(t, 2, p.StepsPerQuarter())
	assert.Equal(t, 24, given[0].Step, "the caller's slice is left alone")
	given[1].Sound = rhythm.Stamp
	assert.Equal(t, "x Xx . .", p.String(), "and not kept")
	assert.True(t, p.Equal(rhythm.MustParse("x Xx . .", "4/4", 60)))
}

// randomPhrase draws a metre, boxes a beat and strokes.
func randomPhrase(r *rand.Rand) (rhythm.Phrase, error) {
	meters := []string{
		"4/4", "3/4", "2/4", "5/4=3+2", "2/2", "3/8", "6/8", "9/8", "12/8", "6/16",
		"7/8=2+2+3", "5/8=3+2", "11/8=3+3+3+2", "6/8=2+2+2", "7/16=3+2+2",
	}
	meter := meters[r.IntN(len(meters))]
	m := rhythm.MustParseMeter(meter)
	text := ""
	for range 1 + r.IntN(6) {
		text += "|"
		for range m.Beats() {
			for range 1 + r.IntN(rhythm.MaxBoxesPerBeat) {
				text += string("..-.xxxspnXSPN"[r.IntN(14)])
			}
			if m.Beats() > 1 {
				text += " "
			}
		}
	}
	return rhythm.Parse(text, m, 20+380*r.Float64())
}

func TestPrintingRoundTripsOverRandomPhrases(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	phrases := 0
	for range 2000 {
		p, err := randomPhrase(r)
		if err != nil {
			require.ErrorContains(t, err, "no stroke")
			continue
		}
		phrases++
		q, err := rhythm.Parse(p.String(), p.Meter(), p.Tempo())
		require.NoError(t, err, p.String())
		require.True(t, p.Equal(q), p.String())
		require.Equal(t, p.String(), q.String())
		require.Equal(t, p.BeatSteps(), q.BeatSteps(), "the grid is the same too")
		written, err := rhythm.Parse(p.Written(), p.Meter(), p.Tempo())
		require.NoError(t, err, p.Written())
		require.Equal(t, p, written, "as it was written, box for box")
		if p.StepsPerQuarter() < 500_000 {
			again, err := rhythm.New(p.Meter(), p.Tempo(), p.Bars(), p.StepsPerQuarter()*3,
				scaled(p.Strokes(), 3))
			require.NoError(t, err)
			require.True(t, p.Equal(again), "a finer grid gives the same phrase")
			require.Equal(t, p.String(), again.Written(), "nobody wrote it")
		}
		require.InDelta(t, p.Duration(),
			float64(p.Bars()*p.Meter().Count())*4/float64(p.Meter().Unit())*60/(p.Tempo()*p.Meter().TempoQuarters()), 1e-6)
	}
	assert.Greater(t, phrases, 1900)
}

func scaled(strokes []rhythm.Stroke, by int) []rhythm.Stroke {
	out := make([]rhythm.Stroke, len(strokes))
	for i, s := range strokes {
		s.Step *= by
		out[i] = s
	}
	return out
}
