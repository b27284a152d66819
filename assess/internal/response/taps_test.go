package response

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

// gangway at 96: x x xx x, seconds from step 0.
var gangway = []float64{0, 0.625, 1.25, 1.5625, 1.875}

func moved(notes []float64, offset, ratio float64) []float64 {
	out := make([]float64, len(notes))
	for i, at := range notes {
		out[i] = offset + ratio*at
	}
	return out
}

func TestTempoAndOffsetDoNotMatter(t *testing.T) {
	for _, tempo := range []float64{0.76, 0.9, 1, 1.1, 1.32} {
		for _, offset := range []float64{-3, 0, 0.2, 100} {
			match := MatchTaps(gangway, moved(gangway, offset, 1/tempo))
			assert.InDelta(t, 1, match.Score, 1e-9, "tempo %g, offset %g", tempo, offset)
			assert.Zero(t, match.Wrong)
			assert.InDelta(t, 1/tempo, match.Ratio, 1e-9)
			assert.InDelta(t, offset, match.Offset, 1e-9)
			assert.InDelta(t, 0, match.RMS, 1e-9)
			assert.Equal(t, []int{0, 1, 2, 3, 4}, match.Tap)
			assert.Empty(t, match.Stray)
		}
	}
	for _, tempo := range []float64{0.6, 1.6} {
		match := MatchTaps(gangway, moved(gangway, 0, 1/tempo))
		assert.Positive(t, match.Wrong, "a tempo of %g is another rhythm", tempo)
		assert.Less(t, match.Score, 0.8)
	}
}

func TestEachWrongStrokeCostsAThird(t *testing.T) {
	with := func(at ...float64) []float64 {
		return slices.Sorted(slices.Values(append(slices.Clone(gangway), at...)))
	}
	without := func(k ...int) []float64 {
		var out []float64
		for i, at := range gangway {
			if !slices.Contains(k, i) {
				out = append(out, at)
			}
		}
		return out
	}
	for _, test := range []struct {
		law   string
		taps  []float64
		wrong int
		score float64
	}{
		{"nothing wrong", gangway, 0, 1},
		{"the off-beat missing", without(3), 1, 2.0 / 3},
		{"the last missing", without(4), 1, 2.0 / 3},
		{"the first missing", without(0), 1, 2.0 / 3},
		{"one too many", with(2.5), 1, 2.0 / 3},
		{"one in between", with(0.9375), 1, 2.0 / 3},
		{
			"one missing and one too many is one moved",
			slices.Sorted(slices.Values(append(without(3), 0.9375))), 1, 2.0 / 3,
		},
		{"two too many", with(2.5, 3.125), 2, 1.0 / 3},
		{"two missing", without(1, 3), 2, 1.0 / 3},
	} {
		t.Run(test.law, func(t *testing.T) {
			match := MatchTaps(gangway, test.taps)
			assert.Equal(t, test.wrong, match.Wrong)
			assert.InDelta(t, test.score, match.Score, 0.03)
		})
	}
	before := 1.1
	for extra := range 8 {
		match := MatchTaps(gangway, append(slices.Clone(gangway),
			[]float64{2.5, 3.125, 3.75, 4.375, 5, 5.625, 6.25}[:extra]...))
		assert.Less(t, match.Score, before, "%d too many", extra)
		assert.Equal(t, extra, match.Wrong)
		before = match.Score
	}
	assert.Less(t, before, 0.05)
}

func TestFewOrNoTaps(t *testing.T) {
	none := MatchTaps(gangway, nil)
	assert.Equal(t, 5, none.Wrong)
	assert.Zero(t, none.Score)
	assert.Equal(t, []int{-1, -1, -1, -1, -1}, none.Tap)
	one := MatchTaps(gangway, []float64{7})
	assert.Equal(t, 4, one.Wrong)
	assert.Less(t, one.Score, 1.0/6)
	assert.InDelta(t, 7, one.Offset, 1e-12)
	same := MatchTaps(gangway, []float64{1, 1, 1, 1, 1})
	assert.False(t, math.IsNaN(same.Score))
	assert.Positive(t, same.Wrong)
}

func TestLongPhrasesAreMatchedToTheEnd(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	notes := []float64{0}
	for range 99 {
		notes = append(notes, notes[len(notes)-1]+[]float64{0.25, 0.5, 0.75}[r.IntN(3)])
	}
	taps := moved(notes, 3, 1.12)
	for i := range taps {
		taps[i] += 0.015 * r.NormFloat64()
	}
	match := MatchTaps(notes, taps)
	assert.Zero(t, match.Wrong)
	assert.InDelta(t, 1.12, match.Ratio, 0.002)
	assert.Greater(t, match.Score, 0.9)
}

func TestLooserTapsScoreLower(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	before := 1.0
	for _, sd := range []float64{0.010, 0.030, 0.060, 0.120} {
		mean := 0.0
		for range 60 {
			taps := slices.Clone(gangway)
			for i := range taps {
				taps[i] += sd * r.NormFloat64()
			}
			slices.Sort(taps)
			match := MatchTaps(gangway, taps)
			require.GreaterOrEqual(t, match.Score, 0.0)
			require.LessOrEqual(t, match.Score, 1.0)
			mean += match.Score / 60
		}
		assert.Less(t, mean, before, "SD %g s", sd)
		before = mean
	}
}

// Experts' grades of 112 imitation takes with hand-checked onsets (Köktürk-Güzel, Büyük, Bozkurt &
// Baysal 2023, onset lists re-analysed) go with how far takes stray: median residuals after a
// straight map of 18, 43, 77 and 148 ms for the mean grades 4, 3.5-4, 2.5-3.5 and 1-2.5, and 36 of
// 36, 11 of 11, 14 of 25, 6 of 27 and 1 of 13 takes with the right number of strokes. Rank
// correlation of a matched F measure with the grades was 0.57 at 30 ms, 0.73 at 50, and 0.80 to
// 0.83 from 70 to 150. Takes drawn from those figures must give a curve of that shape.
func TestWindowsBehaveAsWithExpertsGrades(t *testing.T) {
	classes := []struct {
		grade, residual float64
		takes, counted  int // counted: with the right number of strokes
	}{{4, 0.018, 36, 36}, {3.75, 0.043, 11, 11}, {3, 0.077, 25, 14}, {1.75, 0.148, 27, 6}, {1, 0.210, 13, 1}}
	r := rand.New(rand.NewPCG(5, 5))
	rhythms := [][]float64{
		{0, 0.5, 1, 1.25, 1.5, 2, 2.5, 2.75, 3},
		{0, 0.25, 0.5, 1, 1.5, 1.75, 2.25, 2.5, 3, 3.5},
		{0, 0.75, 1, 1.5, 2, 2.25, 2.5, 3},
	}
	type take struct {
		notes, taps []float64
		match       TapMatch
	}
	var grades, scores []float64
	var takes []take
	for range 4 { // four times the takes, so that chance matters less
		for _, c := range classes {
			for k := range c.takes {
				notes := rhythms[k%len(rhythms)]
				taps := moved(notes, r.Float64(), math.Exp(0.1*r.NormFloat64()))
				if k >= c.counted {
					at := 1 + r.IntN(len(taps)-2)
					if r.IntN(3) == 0 {
						taps = append(taps, taps[len(taps)-1]+0.3)
					} else {
						taps = slices.Delete(taps, at, at+1+r.IntN(2))
					}
				}
				sd := c.residual * math.Exp(0.5*r.NormFloat64())
				for i := range taps {
					taps[i] += sd * r.NormFloat64()
				}
				slices.Sort(taps)
				match := MatchTaps(notes, taps)
				takes = append(takes, take{notes, taps, match})
				grades, scores = append(grades, c.grade), append(scores, match.Score)
			}
		}
	}
	rho := func(window float64) float64 {
		measure := make([]float64, len(takes))
		for i, x := range takes {
			matched, _ := pair(nil, x.notes, x.taps, x.match.Offset, x.match.Ratio, window)
			measure[i] = 2 * float64(matched) / float64(len(x.notes)+len(x.taps))
		}
		return spearman(measure, grades)
	}
	var flat []float64
	for _, window := range []float64{0.07, 0.08, 0.1, 0.12, 0.15} {
		flat = append(flat, rho(window))
	}
	t.Logf("30 ms: %.2f, 50 ms: %.2f, 70 to 150 ms: %.2f, score: %.2f", rho(0.03), rho(0.05), flat,
		spearman(scores, grades))
	assert.Less(t, rho(0.03), slices.Min(flat)-0.02, "30 ms is too strict")
	assert.Less(t, slices.Max(flat)-slices.Min(flat), 0.08, "70 to 150 ms is flat")
	assert.Greater(t, spearman(scores, grades), slices.Min(flat), "the score is no worse than one window")
}

// spearman is the rank correlation, with mean ranks for equals.
func spearman(xs, ys []float64) float64 {
	rank := func(values []float64) []float64 {
		out := make([]float64, len(values))
		for i, v := range values {
			for _, w := range values {
				if w < v {
					out[i]++
				} else if w == v {
					out[i] += 0.5
				}
			}
		}
		return out
	}
	a, b := rank(xs), rank(ys)
	slope := rhythm.FitTimeMap(a, b).StepSeconds
	back := rhythm.FitTimeMap(b, a).StepSeconds
	return math.Copysign(math.Sqrt(slope*back), slope)
}

func TestTapResult(t *testing.T) {
	p := rhythm.MustParse("x x xx x", "4/4", 96)
	expected := p.TimeMap(10)
	taps := []float64{9.95, 10.575, 11.2, 11.825, 12.5}
	r := TapResult(p, expected, taps, MatchTaps(gangway, taps))
	require.Len(t, r.Notes, 5)
	assert.True(t, math.IsNaN(r.Notes[3].Played), "the off-beat is missing")
	assert.Zero(t, r.Notes[3].Participation)
	assert.InDelta(t, 11.2, r.Notes[2].Played, 1e-12)
	assert.InDelta(t, 11.25, r.Notes[2].Expected, 1e-12)
	assert.InDelta(t, -0.05, r.Offset, 1e-9, "early is negative")
	assert.InDelta(t, 96, r.Tempo, 1e-6)
	require.Len(t, r.Extras, 1)
	assert.InDelta(t, 12.5, r.Extras[0].Time, 1e-12)
	assert.InDelta(t, float64(p.Steps()), r.Extras[0].Step, 1e-12,
		"a stray clap is laid on the place it was near")
	assert.Equal(t, 0.75, r.Share, "one wrong stroke")
	assert.InDelta(t, 1, r.Pulse, 1e-12)
	assert.InDelta(t, 0, r.Pattern, 1e-12)
	var kinds []Kind
	for _, e := range r.Errors {
		kinds = append(kinds, e.Kind)
	}
	assert.ElementsMatch(t, []Kind{DroppedOffBeat, ExtraTail}, kinds)
}

func ExampleMatchTaps() {
	notes := []float64{0, 0.625, 1.25, 1.5625, 1.875} // x x xx x at 96 beats a minute
	taps := []float64{4.02, 4.61, 5.18, 5.77}         // a little faster, and without the off-beat
	match := MatchTaps(notes, taps)
	fmt.Printf("%d wrong, tempo %.2f, score %.1f, taps %v\n", match.Wrong, 1/match.Ratio,
		match.Score, match.Tap)
	// Output: 1 wrong, tempo 1.07, score 0.7, taps [0 1 2 -1 3]
}
