package timbre

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess/internal/onset"
)

func TestStrokesOfOneSourceAreAlike(t *testing.T) {
	clap := onset.Attack{Power: 1e-3, Thump: -6, Colour: 0.4, Concentration: 0.6}
	again, softer, stamp := clap, clap, clap
	again.Power, again.Colour = 1.3e-3, 0.43
	softer.Power = 1e-4
	stamp.Thump, stamp.Colour = 14, 0.9
	assert.True(t, Of(clap).Like(Of(again), 1))
	assert.False(t, Of(clap).Like(Of(softer), 1.5))
	assert.False(t, Of(clap).Like(Of(stamp), 1.5))
	assert.Zero(t, Of(stamp)[Colour], "what hardly sounds above 1 kHz has no colour")
	assert.Less(t, Of(clap).Distance(Of(again)), Of(clap).Distance(Of(stamp)))
	assert.Equal(t, Of(clap), Middle([]Timbre{Of(stamp), Of(clap), Of(clap)}))
}
