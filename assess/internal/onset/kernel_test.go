package onset

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestShapesIntegrateToOne(t *testing.T) {
	for _, k := range []Kernel{
		{Direct: 0.5, Decay: 0.045},
		{Direct: 1, Decay: 0.045},
		{Direct: 0, Decay: 0.2},
		{Direct: 0.3, Decay: 0.012},
	} {
		for _, spread := range []float64{0, 0.01, 0.03, 0.1} {
			t.Run(fmt.Sprintf("%+v spread %g", k, spread), func(t *testing.T) {
				s := NewShape(k, spread)
				from, to := s.Reach()
				sum, mean := 0.0, 0.0
				const step = 0.0001
				for at := from; at < to; at += step {
					y := s.At(at)
					assert.GreaterOrEqual(t, y, 0.0)
					sum, mean = sum+y*step, mean+at*y*step
				}
				assert.InDelta(t, 1, sum, 0.012, "but for the end of the tail, which is cut")
				// The mean of a sum is the sum of the means: claps lie around 0, sound comes later
				// by its decay.
				late := k.Direct*clapDecay + (1-k.Direct)*k.Decay
				assert.InDelta(t, late, mean, 0.0005+0.06*late)
				assert.Zero(t, s.At(from-0.001))
				assert.Zero(t, s.At(to+0.001))
			})
		}
	}
}

// The exponentially modified normal law at mean 0, s = tau = 1, t = 0 is exp(1/2)·erfc(1/√2)/2; its
// value follows from erfc(0.7071) = 0.3173, twice the normal law's tail beyond one standard
// deviation (handbook value 0.15866).
func TestSmearedDecay(t *testing.T) {
	assert.InDelta(t, math.Exp(0.5)*2*0.15866/2, smearedDecay(0, 1, 1), 1e-5)
	// Where one branch takes over from the other the curve does not jump.
	const spread, tau = 0.03, 0.003
	at := spread * (spread/tau - 5*math.Sqrt2)
	assert.InEpsilon(t, smearedDecay(at+1e-9, spread, tau), smearedDecay(at-1e-9, spread, tau), 0.003)
	assert.InDelta(t, 0, smearedDecay(-0.5, spread, tau), 1e-9)
	assert.False(t, math.IsNaN(smearedDecay(-5, spread, tau)))
	assert.False(t, math.IsNaN(smearedDecay(5, spread, tau)))
}

func TestLooserBurstsAreLower(t *testing.T) {
	k, before := Kernel{Direct: 0.5, Decay: 0.05}, math.Inf(1)
	for _, spread := range []float64{0.002, 0.01, 0.03, 0.06} {
		top := 0.0
		s := NewShape(k, spread)
		from, to := s.Reach()
		for at := from; at < to; at += 0.0005 {
			top = max(top, s.At(at))
		}
		assert.Less(t, top, before)
		before = top
	}
}
