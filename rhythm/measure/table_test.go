package measure

import (
	"errors"
	"math"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func TestTheTableIsComplete(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range All() {
		assert.False(t, seen[m.ID], "%s twice", m.ID)
		seen[m.ID] = true
		assert.NotEmpty(t, m.Name, m.ID)
		assert.NotEmpty(t, m.Source, m.ID)
		assert.NotEmpty(t, m.Meaning, m.ID)
		assert.NotEmpty(t, m.Metres, m.ID)
		assert.Contains(t, ranges, m.ID, "no range is tested")
	}
	assert.Len(t, ranges, len(seen))
	_, ok := Find("no such measure")
	assert.False(t, ok)
}

func TestApplicabilityByMetre(t *testing.T) {
	everywhere := []string{
		"lhl", "lhl-pairs", "lhl-terminal", "smith-honing", "fitch-rosenfeld", "witek",
		"sioros-guedes", "metrical", "note-to-beat",
		"note-to-beat-sum", "npvi", "interval-entropy", "distinct-intervals", "distance-entropy",
		"distinct-distances",
		"lempel-ziv", "swap", "density", "density-beat", "density-second", "c-score",
	}
	for meter, more := range map[string][]string{
		"4/4": {
			"off-beatness", "keith", "keith-weighted", "pressing", "pressing-full",
			"c-score-beat", "barlow", "swap-mean", "profile-musicians", "profile-non-musicians",
		},
		"2/4": {
			"off-beatness", "keith", "keith-weighted", "pressing", "pressing-full",
			"c-score-beat", "barlow",
		},
		"3/4": {
			"off-beatness", "pressing", "c-score-beat", "barlow", "profile-musicians",
			"profile-non-musicians",
		},
		"5/4":       {"off-beatness", "pressing", "c-score-beat", "barlow"},
		"5/4=3+2":   {"off-beatness", "pressing", "c-score-beat"},
		"6/8":       {"off-beatness", "c-score-beat", "barlow", "profile-musicians", "profile-non-musicians"},
		"12/8":      {"off-beatness", "c-score-beat", "barlow"},
		"7/8=2+2+3": nil,
	} {
		m := rhythm.MustParseMeter(meter)
		for _, entry := range All() {
			want := contains(everywhere, entry.ID) || contains(more, entry.ID)
			err := applies(entry, m)
			assert.Equal(t, want, err == nil, "%s in %s: %v", entry.ID, meter, err)
		}
	}
}

// applies reports whether the measure can have a value in a metre: nil, or an *UndefinedError.
func applies(m Measure, meter rhythm.Meter) error {
	if m.applies == nil {
		return nil
	}
	var tree barTree
	tree.set(meter)
	if err := m.applies(&tree); err != nil {
		return &UndefinedError{m.Name, meter, err}
	}
	return nil
}

func contains(list []string, id string) bool {
	return slices.Contains(list, id)
}

// With enough strokes on the plain points of a metre every measure that applies to it has a value,
// save a clock that must divide the bar.
func TestWhatAppliesHasAValue(t *testing.T) {
	for meter, boxes := range map[string]string{
		"4/4": "x.xx x.x. xx .x", "3/4": "x.xx xx x", "2/4": "xxxx x.x.", "2/2": "x.xx xx",
		"5/4": "xx x x.xx x x", "6/4": "x x xx x x x",
		"6/8": "x.x xxx", "9/8": "x.x xxx x", "12/8": "x.x xxx x xxx", "5/4=3+2": "x x x xx x",
		"7/8=2+2+3": "xx x. x.x", "8/8=3+3+2": "x.x x.x xx",
	} {
		phrase := rhythm.MustParse(boxes, meter, 96)
		for _, m := range All() {
			_, err := m.Of(phrase)
			if applies := applies(m, phrase.Meter()); applies != nil {
				assert.Equal(t, applies, err, m.ID)
				continue
			}
			if errors.Is(err, errNoClock) {
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
		{"keith", "3/4", "x x x", errNotBinary},
		{"keith", "4/4", "xxx x x x", errNotBinary},
		{"keith", "7/8=2+2+3", "x x x", errUneven},
		{"off-beatness", "4/4", "xxx x.xx x x", errMixed},
		{"off-beatness", "3/8", "xxx", errPrime},
		{"off-beatness", "7/8=2+2+3", "x x x", errUneven},
		{"pressing", "6/8", "x x", errNotFours},
		{"pressing", "4/4", "x.x...xx x x x", errNotFours},
		{"c-score", "7/8=2+2+3", "x x x", errNoClock},
		{"c-score-beat", "7/8=2+2+3", "x x x", errUneven},
		{"barlow", "5/4=3+2", "x x x x x", errUneven},
		{"npvi", "4/4", "x . x .", errFewStrokes},
		{"interval-entropy", "4/4", "x . . .", errFewStrokes},
		{"profile-musicians", "9/8", "x x x", errNoProfile},
		{"profile-musicians", "4/4", "xxx x x x", errNoProfile},
		{"profile-musicians", "4/4", "x......x x x x", errNoProfile},
	} {
		m, ok := Find(c.id)
		require.True(t, ok)
		_, err := m.Of(rhythm.MustParse(c.boxes, c.meter, 96))
		require.ErrorIs(t, err, c.want, "%s of %s in %s", c.id, c.boxes, c.meter)
		undefined, ok := errors.AsType[*UndefinedError](err)
		require.True(t, ok)
		assert.Equal(t, m.Name, undefined.Measure)
		assert.Equal(t, c.meter, undefined.Meter.String())
		assert.Contains(t, err.Error(), "not defined")
	}
	m, _ := Find("density-second")
	_, err := m.On(sixteen(t, "x...x...x...x..."))
	require.ErrorIs(t, err, errNoTempo)
	assert.Equal(t, "Notes a second is not defined for this pattern: it has no tempo", err.Error())
}

func TestNoPhraseHasNoValue(t *testing.T) {
	for _, m := range All() {
		_, err := m.Of(rhythm.Phrase{})
		require.ErrorIs(t, err, errEmpty, m.ID)
		_, err = m.On(&Pattern{})
		require.ErrorIs(t, err, errEmpty, m.ID)
	}
}

// The functions that give no error must not fail on an empty pattern either.
func TestEmptyPatternIsHarmless(t *testing.T) {
	p := &Pattern{Cyclic: true}
	for _, f := range []func(*Pattern) float64{
		longuetHigginsLee, smithHoning, fitchRosenfeld, witek, siorosGuedes, toussaintMetrical,
	} {
		assert.Zero(t, f(p))
	}
	assert.Equal(t, -1.0, longuetHigginsLeeTerminal(p))
	_, err := distanceHistogram(nil, p)
	assert.Error(t, err)
	_, err = clockAt(p, 4, 0)
	assert.Error(t, err)
}

func TestAPhraseOfTheFinestMixedGridIsMeasured(t *testing.T) {
	// 16, 15, 13 and 11 boxes: the common grid has 34,320 steps a beat, the pattern one point a
	// box.
	phrase := rhythm.MustParse("xx.............. .............xx x...........x .........xx", "4/4", 60)
	p := fromPhrase(phrase)
	assert.Equal(t, 16+15+13+11, p.points())
	assert.True(t, p.mixed)
	for _, m := range All() {
		v, err := m.On(p)
		if err == nil {
			assert.False(t, math.IsNaN(v) || math.IsInf(v, 0), m.ID)
		}
	}
	d, err := swapToBeats(p)
	require.NoError(t, err)
	assert.Greater(t, d, 0.0)
}

func TestTheLongestPhraseIsMeasured(t *testing.T) {
	bar := "x.x.x.x.x.x.x.x. xxxxxxxxxxxxxxxx ...............x x..............x"
	phrase, err := rhythm.MustParse(bar, "4/4", 60).Repeat(64)
	require.NoError(t, err)
	for _, m := range All() {
		_, err := m.Of(phrase)
		if err != nil {
			_, ok := errors.AsType[*UndefinedError](err)
			require.True(t, ok, m.ID)
		}
	}
}

func TestMeasuresMayRunAtOnce(t *testing.T) {
	phrase := rhythm.MustParse("x..x..x...x.x...", "4/4", 96)
	m, _ := Find("distance-entropy")
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
