package measure_test

import (
	"errors"
	"math"
	"sync"
	"testing"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/measure"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheTableIsComplete(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range measure.All() {
		assert.False(t, seen[m.ID], "%s twice", m.ID)
		seen[m.ID] = true
		assert.NotEmpty(t, m.Name, m.ID)
		assert.NotEmpty(t, m.Source, m.ID)
		assert.NotEmpty(t, m.Meaning, m.ID)
		assert.NotEmpty(t, m.Metres, m.ID)
		assert.Contains(t, ranges, m.ID, "no range is tested")
	}
	assert.Len(t, ranges, len(seen))
	_, ok := measure.Find("no such measure")
	assert.False(t, ok)
}

func TestApplicabilityByMetre(t *testing.T) {
	everywhere := []string{
		"lhl", "lhl-pairs", "lhl-terminal", "smith-honing", "fitch-rosenfeld", "witek", "sioros-guedes", "metrical", "note-to-beat",
		"note-to-beat-sum", "npvi", "interval-entropy", "distinct-intervals", "distance-entropy", "distinct-distances",
		"lempel-ziv", "swap", "density", "density-beat", "density-second", "c-score",
	}
	for meter, more := range map[string][]string{
		"4/4":       {"off-beatness", "keith", "keith-weighted", "pressing", "pressing-full", "c-score-beat", "barlow", "swap-mean", "profile-musicians", "profile-non-musicians"},
		"2/4":       {"off-beatness", "keith", "keith-weighted", "pressing", "pressing-full", "c-score-beat", "barlow"},
		"3/4":       {"off-beatness", "pressing", "c-score-beat", "barlow", "profile-musicians", "profile-non-musicians"},
		"5/4":       {"off-beatness", "pressing", "c-score-beat", "barlow"},
		"5/4=3+2":   {"off-beatness", "pressing", "c-score-beat"},
		"6/8":       {"off-beatness", "c-score-beat", "barlow", "profile-musicians", "profile-non-musicians"},
		"12/8":      {"off-beatness", "c-score-beat", "barlow"},
		"7/8=2+2+3": nil,
	} {
		m := rhythm.MustParseMeter(meter)
		for _, entry := range measure.All() {
			want := contains(everywhere, entry.ID) || contains(more, entry.ID)
			err := entry.Applies(m)
			assert.Equal(t, want, err == nil, "%s in %s: %v", entry.ID, meter, err)
		}
	}
}

func contains(list []string, id string) bool {
	for _, s := range list {
		if s == id {
			return true
		}
	}
	return false
}

// With enough strokes on the plain points of a metre every measure that applies to it has a value, save a clock that must divide
// the bar.
func TestWhatAppliesHasAValue(t *testing.T) {
	for meter, boxes := range map[string]string{
		"4/4": "x.xx x.x. xx .x", "3/4": "x.xx xx x", "2/4": "xxxx x.x.", "2/2": "x.xx xx", "5/4": "xx x x.xx x x", "6/4": "x x xx x x x",
		"6/8": "x.x xxx", "9/8": "x.x xxx x", "12/8": "x.x xxx x xxx", "5/4=3+2": "x x x xx x", "7/8=2+2+3": "xx x. x.x", "8/8=3+3+2": "x.x x.x xx",
	} {
		phrase := rhythm.MustParse(boxes, meter, 96)
		for _, m := range measure.All() {
			_, err := m.Of(phrase)
			if applies := m.Applies(phrase.Meter()); applies != nil {
				assert.Equal(t, applies, err, m.ID)
				continue
			}
			if errors.Is(err, measure.ErrNoClock) {
				assert.Equal(t, "7/8=2+2+3", meter)
				continue
			}
			assert.NoError(t, err, "%s in %s", m.ID, meter)
		}
	}
}

func TestReasonsForNoValue(t *testing.T) {
	for _, c := range []struct {
		id, meter, boxes string
		want             error
	}{
		{"keith", "3/4", "x x x", measure.ErrNotBinary},
		{"keith", "4/4", "xxx x x x", measure.ErrNotBinary},
		{"keith", "7/8=2+2+3", "x x x", measure.ErrUneven},
		{"off-beatness", "4/4", "xxx x.xx x x", measure.ErrMixed},
		{"off-beatness", "3/8", "xxx", measure.ErrPrime},
		{"off-beatness", "7/8=2+2+3", "x x x", measure.ErrUneven},
		{"pressing", "6/8", "x x", measure.ErrNotFours},
		{"pressing", "4/4", "x.x...xx x x x", measure.ErrNotFours},
		{"c-score", "7/8=2+2+3", "x x x", measure.ErrNoClock},
		{"c-score-beat", "7/8=2+2+3", "x x x", measure.ErrUneven},
		{"barlow", "5/4=3+2", "x x x x x", measure.ErrUneven},
		{"npvi", "4/4", "x . x .", measure.ErrFewStrokes},
		{"interval-entropy", "4/4", "x . . .", measure.ErrFewStrokes},
		{"profile-musicians", "9/8", "x x x", measure.ErrNoProfile},
		{"profile-musicians", "4/4", "xxx x x x", measure.ErrNoProfile},
		{"profile-musicians", "4/4", "x......x x x x", measure.ErrNoProfile},
	} {
		m, ok := measure.Find(c.id)
		require.True(t, ok)
		_, err := m.Of(rhythm.MustParse(c.boxes, c.meter, 96))
		require.ErrorIs(t, err, c.want, "%s of %s in %s", c.id, c.boxes, c.meter)
		undefined, ok := errors.AsType[*measure.UndefinedError](err)
		require.True(t, ok)
		assert.Equal(t, m.Name, undefined.Measure)
		assert.Equal(t, c.meter, undefined.Meter.String())
		assert.Contains(t, err.Error(), "not defined")
	}
	m, _ := measure.Find("density-second")
	_, err := m.On(sixteen(t, "x...x...x...x..."))
	require.ErrorIs(t, err, measure.ErrNoTempo)
	assert.Equal(t, "Notes a second is not defined for this pattern: it has no tempo", err.Error())
}

func TestNoPhraseHasNoValue(t *testing.T) {
	for _, m := range measure.All() {
		_, err := m.Of(rhythm.Phrase{})
		require.ErrorIs(t, err, measure.ErrEmpty, m.ID)
		_, err = m.On(&measure.Pattern{})
		require.ErrorIs(t, err, measure.ErrEmpty, m.ID)
	}
}

// The functions that give no error must not fail on an empty pattern either.
func TestEmptyPatternIsHarmless(t *testing.T) {
	p := &measure.Pattern{Cyclic: true}
	for _, f := range []func(*measure.Pattern) float64{
		measure.LonguetHigginsLee, measure.SmithHoning, measure.FitchRosenfeld, measure.Witek, measure.SiorosGuedes, measure.ToussaintMetrical,
	} {
		assert.Zero(t, f(p))
	}
	assert.Equal(t, -1.0, measure.LonguetHigginsLeeTerminal(p))
	_, err := measure.DistanceHistogram(nil, p)
	assert.Error(t, err)
	_, err = measure.ClockAt(p, 4, 0)
	assert.Error(t, err)
}

func TestAPhraseOfTheFinestMixedGridIsMeasured(t *testing.T) {
	// 16, 15, 13 and 11 boxes: the common grid has 34,320 steps a beat, the pattern one point a box.
	phrase := rhythm.MustParse("xx.............. .............xx x...........x .........xx", "4/4", 60)
	p := measure.FromPhrase(phrase)
	assert.Equal(t, 16+15+13+11, p.Points())
	assert.True(t, p.Mixed())
	for _, m := range measure.All() {
		v, err := m.On(p)
		if err == nil {
			assert.False(t, math.IsNaN(v) || math.IsInf(v, 0), m.ID)
		}
	}
	d, err := measure.SwapToBeats(p)
	require.NoError(t, err)
	assert.Greater(t, d, 0.0)
}

func TestTheLongestPhraseIsMeasured(t *testing.T) {
	bar := "x.x.x.x.x.x.x.x. xxxxxxxxxxxxxxxx ...............x x..............x"
	phrase, err := rhythm.MustParse(bar, "4/4", 60).Repeat(64)
	require.NoError(t, err)
	for _, m := range measure.All() {
		_, err := m.Of(phrase)
		if err != nil {
			_, ok := errors.AsType[*measure.UndefinedError](err)
			require.True(t, ok, m.ID)
		}
	}
}

func TestMeasuresMayRunAtOnce(t *testing.T) {
	phrase := rhythm.MustParse("x..x..x...x.x...", "4/4", 96)
	m, _ := measure.Find("distance-entropy")
	want, err := m.Of(phrase)
	require.NoError(t, err)
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for range 200 {
				got, err := m.Of(phrase)
				assert.NoError(t, err)
				assert.Equal(t, want, got)
			}
		})
	}
	wait.Wait()
}
