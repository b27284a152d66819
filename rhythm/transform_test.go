package rhythm_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func TestAnotherTempoChangesNothingButTheTempo(t *testing.T) {
	p := rhythm.MustParse("x xx .x x", "4/4", 100)
	assert.True(t, p.Equal(p.WithTempo(50)))
	assert.InDelta(t, 2*p.Duration(), p.WithTempo(50).Duration(), 1e-12)
	assert.InDelta(t, 100, p.Tempo(), 0, "the phrase itself stays")
}

func TestTempiStayWithinTheLimits(t *testing.T) {
	p := rhythm.MustParse("xxxx", "4/4", 100)
	for given, want := range map[float64]float64{
		5: 20, 20: 20, 96.5: 96.5, 400: 400, 1000: 400,
		math.Inf(1): 400, math.Inf(-1): 20,
	} {
		assert.InDelta(t, want, p.WithTempo(given).Tempo(), 0)
	}
	assert.InDelta(t, 20, p.WithTempo(math.NaN()).Tempo(), 0)
}

func TestBarRange(t *testing.T) {
	p := rhythm.MustParse("x x | xxx x | . . | s s", "2/4", 80)
	for _, test := range []struct {
		from, to int
		want     string
	}{
		{0, 4, "x x | xxx x | . . | s s"},
		{0, 1, "x x"},
		{1, 2, "xxx x"},
		{1, 3, "xxx x | . ."},
		{3, 4, "s s"},
	} {
		q, err := p.BarRange(test.from, test.to)
		require.NoError(t, err)
		assert.Equal(t, test.want, q.String())
		assert.InDelta(t, 80, q.Tempo(), 0)
	}
	q, err := p.BarRange(0, 1)
	require.NoError(t, err)
	assert.Equal(t, 1, q.StepsPerQuarter(), "the grid is chosen anew")
	for _, r := range [][2]int{{-1, 1}, {0, 5}, {2, 2}, {3, 1}, {2, 3}} {
		_, err := p.BarRange(r[0], r[1])
		assert.Error(t, err, r)
	}
}

func TestRepeat(t *testing.T) {
	p := rhythm.MustParse("x .x", "2/4", 96)
	q, err := p.Repeat(3)
	require.NoError(t, err)
	assert.Equal(t, "x .x | x .x | x .x", q.String())
	_, err = p.Repeat(64)
	assert.NoError(t, err)
	for n, want := range map[int]string{
		0: "a phrase can't be repeated 0 times", -1: "a phrase can't be repeated -1 times",
		65: "a phrase can't be repeated 65 times",
	} {
		_, err := p.Repeat(n)
		assert.EqualError(t, err, want)
	}
	_, err = q.Repeat(22)
	assert.EqualError(t, err, "a phrase has 1 to 64 bars, not 66")
}

func TestTransformationsOverRandomPhrases(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		p, err := randomPhrase(r)
		if err != nil {
			continue
		}
		twice, err := p.Repeat(2)
		require.NoError(t, err)
		for _, part := range [][2]int{{0, p.Bars()}, {p.Bars(), 2 * p.Bars()}} {
			half, err := twice.BarRange(part[0], part[1])
			require.NoError(t, err)
			require.True(t, p.Equal(half), "half of twice a phrase is the phrase: %s", p)
		}
	}
}
