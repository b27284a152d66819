package history

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
)

func TestAKeptLevelIsWhatWouldBeEstimated(t *testing.T) {
	bank := ladder(t)
	records := term(rand.New(rand.NewPCG(8, 1)), bank, 5, 1)
	want := trendOf(t, records, bank)
	scale := NewScale(nil, bank)
	for i := range records {
		records[i].Known = true // so that the level of the report would not do
		require.NoError(t, scale.Keep(&records[i]))
		require.NotNil(t, records[i].Kept)
	}
	assert.Equal(t, want, trendOf(t, records, bank))
	line, err := records[2].Encode()
	require.NoError(t, err)
	back, _, problem := decode(bytes.TrimSpace(line), true)
	require.Nil(t, problem)
	_, ok := scale.kept(*back, scale.observations(*back))
	assert.True(t, ok, "after it was written and read too")

	records[2].Kept.Level += 1 // to see which is used
	moved := trendOf(t, records, bank)
	assert.InDelta(t, want.Points[2].Level+1, moved.Points[2].Level, 1e-9)
	for i := range bank.Entries {
		bank.Entries[i].Difficulty += 0.5
	}
	again := trendOf(t, records, bank)
	assert.Less(t, again.Points[2].Level, want.Points[2].Level+0.9, "other difficulties, another estimate")
}

func TestATrendShowsWhatTheReportSaid(t *testing.T) {
	bank := ladder(t)
	r := warmUp(rand.New(rand.NewPCG(8, 2)), bank, 0, 4)
	scale := NewScale(nil, bank)
	require.NoError(t, scale.Keep(&r))
	p := trendOf(t, []Record{r}, bank).Points[0]
	assert.Equal(t, []float64{r.Estimate.Ability, r.Estimate.Interval[0], r.Estimate.Interval[1]},
		[]float64{p.Level, p.Low, p.High})
	assert.Greater(t, p.SD, r.Estimate.AbilitySD, "the luck of who turned up comes on top")
}

func TestAWarmUpWithTooFewRoundsKeepsNoLevel(t *testing.T) {
	r := record("A", 0)
	require.NoError(t, NewScale(nil, nil).Keep(&r))
	assert.Nil(t, r.Kept)
}

func TestTheRoughLevelIsNearTheExactOne(t *testing.T) {
	bank := ladder(t)
	scale := NewScale(nil, bank)
	rng := rand.New(rand.NewPCG(9, 1))
	var off, square, ratio float64
	const n = 30
	for range n {
		r := warmUp(rng, bank, 0, 2+5*rng.Float64())
		exact, ok, err := scale.estimate(r, scale.observations(r))
		require.NoError(t, err)
		require.True(t, ok)
		rough := scale.quick(r, scale.observations(r))
		off += (rough.Level - exact.Level) / n
		square += (rough.Level - exact.Level) * (rough.Level - exact.Level) / n
		ratio += rough.SD / exact.SD / n
	}
	assert.InDelta(t, 0, off, 0.15)
	assert.Less(t, math.Sqrt(square), 0.3)
	assert.InDelta(t, 1, ratio, 0.35)
}

// longLog is a log of so many warm-ups without kept levels, each with eight calls.
func longLog(t testing.TB, bank *bank.Bank, n int) []byte {
	rng := rand.New(rand.NewPCG(10, 1))
	var text bytes.Buffer
	for i := range n {
		r := warmUp(rng, bank, 0, 3+2*float64(i)/float64(n))
		r.Date = r.Date.Add(time.Duration(i) * 3 * time.Hour)
		line, err := r.Encode()
		require.NoError(t, err)
		text.Write(line)
	}
	return text.Bytes()
}

func TestALongLogIsLookedThroughRoughlyButForTheLastDates(t *testing.T) {
	if testing.Short() {
		t.Skip("makes a long log")
	}
	bank := ladder(t)
	scale := NewScale(nil, bank)
	c, err := ReadFrom(t.Context(), bytes.NewReader(longLog(t, bank, 10_000)))
	require.NoError(t, err)
	trend, err := NewTrend(c.Records, "Lunch clappers", scale)
	require.NoError(t, err)
	_, _, ok, err := Known(c.Records, "Lunch clappers", scale, today.AddDate(10, 0, 0))
	require.NoError(t, err)
	assert.True(t, ok)
	assert.Len(t, trend.Points, 10_000)
	assert.Equal(t, 10_000-exactDates, trend.Rough)
	assert.Equal(t, Up, trend.Direction)
}

// BenchmarkLongLog reads a log and says its group's trend. The metric growth is how many times
// longer ten times as many warm-ups take: 10 where the time grows with their number.
func BenchmarkLongLog(b *testing.B) {
	bank := ladder(b)
	scale := NewScale(nil, bank)
	spent := map[int]time.Duration{}
	for _, n := range []int{1_000, 10_000} {
		text := longLog(b, bank, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			begun := time.Now()
			for b.Loop() {
				c, err := ReadFrom(b.Context(), bytes.NewReader(text))
				require.NoError(b, err)
				_, err = NewTrend(c.Records, "Lunch clappers", scale)
				require.NoError(b, err)
			}
			spent[n] = time.Since(begun) / time.Duration(b.N)
			if small := spent[1_000]; n == 10_000 && small > 0 {
				b.ReportMetric(float64(spent[n])/float64(small), "growth")
			}
		})
	}
}
