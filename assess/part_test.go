package assess

import (
	"bytes"
	"context"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
)

// A part is heard as if the recording were cut there, at the times of the whole.
func TestAPartIsHeardAsIfCutOut(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	w := plain()
	rounds := w.truth.Rounds
	from := math.Floor(rounds[1].Call.Start - 0.2)
	to := math.Ceil(rounds[3].Response.End + 0.5)
	listen := func(sound []float32, o Options) *Report {
		r, err := Recording(context.Background(), bytes.NewReader(wav(low, sound)), bank.Starter(), o)
		require.NoError(t, err)
		return r
	}
	part := listen(w.sound, Options{From: from, To: to})
	cut := listen(w.sound[int(from)*low:min(len(w.sound), int(to)*low)], Options{})
	require.NotEmpty(t, part.Rounds)
	require.Len(t, part.Rounds, len(cut.Rounds))
	for i, r := range part.Rounds {
		c := cut.Rounds[i]
		assert.Equal(t, c.Phrase, r.Phrase)
		assert.Equal(t, c.Share, r.Share)
		assert.InDelta(t, c.Call.Start+from, r.Call.Start, 2e-4)
		require.Equal(t, c.Response == nil, r.Response == nil)
		if r.Response != nil {
			assert.InDelta(t, c.Response.Start+from, r.Response.Start, 2e-4)
			assert.InDelta(t, c.Notes[0].Expected+from, r.Notes[0].Expected, 2e-4)
		}
	}
	assert.InDelta(t, w.report.Recording.Duration, part.Recording.Duration, 1e-9)
	assert.Equal(t, LeftOut{0, from, NotAsked}, part.Recording.LeftOut[0])
}

func TestThePartMustLieInTheRecording(t *testing.T) {
	sound := wav(low, make([]float32, 2*low))
	for _, o := range []Options{
		{From: -1},
		{From: math.NaN()},
		{To: math.Inf(-1)},
		{From: 5, To: 3},
		{From: 1, To: 1},
		{From: 60},
		{From: math.Inf(1)},
	} {
		_, err := Recording(context.Background(), bytes.NewReader(sound), nil, o)
		_, ok := errors.AsType[*PartError](err)
		assert.True(t, ok, "%v: %v", o, err)
	}
	_, err := Recording(context.Background(), bytes.NewReader(sound), nil, Options{From: 1, To: math.Inf(1)})
	assert.NoError(t, err)
}
