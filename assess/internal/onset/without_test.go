package onset

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Two strokes a second in faint noise, loud and soft in turn.
func TestWhatIsTakenOutIsGoneAndTheRestStays(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	sound := make([]float32, 8*SampleRate)
	for i := range sound {
		sound[i] = float32(1e-4 * rng.NormFloat64())
	}
	for k := range 14 {
		loud := []float32{0.4, 0.15}[k%2]
		for i := range 200 {
			sound[SampleRate/2*(k+1)+i] += loud * float32(rng.NormFloat64()) / float32(1+i/8)
		}
	}
	a := analyse(t, sound)
	require.Len(t, a.Attacks, 14)
	var soft []int
	for k := 1; k < 14; k += 2 {
		soft = append(soft, k)
	}
	before := a.Envelope.Clap[int(a.Attacks[1].Time*FrameRate)+1]
	out := a.Without(soft)
	require.Len(t, out.Attacks, 7)
	for k, x := range out.Attacks {
		assert.Equal(t, a.Attacks[2*k], x)
	}
	around := func(e *Envelope, time float64) (sum float64) {
		for _, x := range e.Clap[int(time*FrameRate)-5 : int(time*FrameRate)+30] {
			sum += float64(x)
		}
		return sum
	}
	for k, x := range a.Attacks {
		was, is := around(a.Envelope, x.Time), around(out.Envelope, x.Time)
		if k%2 == 0 {
			assert.Equal(t, was, is, "the loud stroke at %.1f s stays", x.Time)
		} else {
			assert.Less(t, is, 0.01*was, "the soft stroke at %.1f s is gone", x.Time)
		}
	}
	after := a.Envelope.Clap[int(a.Attacks[1].Time*FrameRate)+1]
	assert.Equal(t, before, after, "what it came from is as before")
	assert.Equal(t, a.Attacks, a.Without(nil).Attacks)
}
