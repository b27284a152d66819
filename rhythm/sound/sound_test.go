package sound

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

func TestStrokesLieAtTheirSamplesAndNothingClips(t *testing.T) {
	p, err := rhythm.Parse("X . s .", rhythm.MustParseMeter("4/4"), 120)
	require.NoError(t, err)
	got, err := Render([]rhythm.Phrase{p}, Options{Model: true})
	require.NoError(t, err)
	require.Len(t, got, 3*2*Rate+Rate) // bars of 2 s: count-in, call, answer; 1 s of silence
	for _, at := range []int{22050, 44100, 66150, 88200, 132300, 176400, 220500} {
		assert.Zero(t, got[at-1], at)
		assert.NotZero(t, got[at], at)
	}
	for _, v := range got {
		require.Less(t, max(v, -v), float32(0.9))
	}
	again, err := Render([]rhythm.Phrase{p}, Options{Model: true})
	require.NoError(t, err)
	assert.Equal(t, got, again)
	gap, err := Render([]rhythm.Phrase{p}, Options{NoCountIn: true})
	require.NoError(t, err)
	require.Len(t, gap, 2*2*Rate+Rate)
	assert.Zero(t, gap[2*Rate])
	_, err = Render(nil, Options{})
	assert.ErrorContains(t, err, "at least one phrase")
}
