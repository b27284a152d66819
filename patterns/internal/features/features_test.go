package features

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/internal/testphrase"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/measure"
)

// From the weights of Longuet-Higgins and Lee, by hand. Gaps inside the beat and over the next beat
// count.
func TestSyncopationByHand(t *testing.T) {
	for _, c := range []struct {
		notation, meter string
		want            float64
	}{
		{"x x x x", "4/4", 0},
		{"x .x x x", "4/4", 0},            // off the beat, but held over nothing
		{"xx .x x x", "4/4", 1},           // half of 1 (-3) over beat 2 (-2)
		{"x xx .x x", "4/4", 2},           // half of 2 (-3) over beat 3 (-1)
		{"x x x xx | .x x x .", "4/4", 3}, // half of 4 over beat 1 of the next bar
		{
			"x..x .x .x x", "4/4",
			4,
		}, // last quarter of 1 (-4) over beat 2 (-2), half of 2 over beat 3
		{"xx.x x x x", "4/4", 1},            // second quarter over the half
		{"xxx xxx x x", "4/4", 0},           // thirds pass nothing of their own
		{"x.x .xx", "6/8", 1},               // last third (-2) over beat 2 (-1)
		{"xx .x x", "3/4", 1},               // half (-2) over beat 2 (-1)
		{"x x x .x | . . x x", "4/4", 3},    // the beat after counts, those beyond do not
		{"x . x x | . x x x", "4/4", 2 + 0}, // beat 4 (-2) over beat 1
	} {
		p := rhythm.MustParse(c.notation, c.meter, 96)
		assert.Equal(t, c.want, Of(p)[Syncopation], c.notation)
	}
}

func TestSpanAndRunsByHand(t *testing.T) {
	for _, c := range []struct {
		notation, meter string
		span, runs      float64
	}{
		{"x x x x", "4/4", 3, 1},
		{"x x x .", "4/4", 2, 1},
		{". x x .", "4/4", 1, 1},
		{"x x xx x", "4/4", 3, 3 - 1}, // 1 1 1/2 1/2: two
		{"x x xx x | x x xx x", "4/4", 7, 4},
		{"x . . . | x . . .", "4/4", 4, 1},
		{"x.x xxx", "6/8", 1 + 2.0/3, 2},
		{"x x x | x x x", "7/8=2+2+3", 5.5, 3},
		{"x.xx x . .", "4/4", 1, 2},
		{"x . . .", "4/4", 0, 0},
	} {
		f := Of(rhythm.MustParse(c.notation, c.meter, 96))
		assert.InDelta(t, c.span, f[Span], 1e-12, c.notation)
		assert.Equal(t, c.runs, f[Runs], c.notation)
	}
}

// The distance from the beat is the published measure, in every metre.
func TestOffBeatsIsThePublishedMeasure(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 6))
	published, _ := measure.Find("note-to-beat")
	for range 2000 {
		p := testphrase.Random(random)
		want, err := published.Of(p)
		require.NoError(t, err)
		assert.InDelta(t, want, Of(p)[OffBeats], 1e-9, "%s in %s", p, p.Meter())
	}
}

func TestDivisionAndPaceNearTheirEndsAndNeverReachThem(t *testing.T) {
	last := 0.0
	for tempo := 100.0; tempo <= 400; tempo += 20 {
		pace := Of(rhythm.MustParse("xxxx xxxx", "2/4", tempo))[Pace]
		assert.Greater(t, pace, last)
		assert.Less(t, pace, mostPace)
		last = pace
	}
	bare := Of(rhythm.MustParse("x x x", "7/8=2+2+3", 126))[Division]
	busy := Of(rhythm.MustParse("xx xxxxx xxx", "7/8=2+2+3", 126))[Division]
	assert.Less(t, bare, busy)
	assert.Less(t, busy, mostDivision)
	assert.Equal(t, 2.5, saturated(2.5, 5), "up to half nothing changes")
}

// What is measured with places kept must be what is measured without.
func TestPlacesAddUpToTheFeature(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 8))
	for range 300 {
		p := testphrase.Random(random)
		values, causes := Explained(p)
		fast := Of(p)
		var sum Values
		for _, c := range causes {
			sum[c.Feature] += c.Amount
			assert.True(t, c.From >= 0 && c.From < c.To && c.To <= p.Steps(), "%v in %s", c, p)
		}
		for f := range sum {
			assert.InDelta(t, fast[f], values[f], 1e-9)
			assert.InDelta(t, fast[f], sum[f], 1e-9, "%s of %s", Feature(f), p)
		}
	}
}
