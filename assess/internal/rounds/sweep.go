package rounds

import (
	"math"
	"slices"
)

// The places of an answer that are tried first: delays this many samples of the activity apart, which makes trying all of them at one tempo a
// walk along the curve.
const (
	delaySteps = 2
	delayStep  = delaySteps * activityStep // seconds
)

// sweep is the activity at an answer's notes for one tempo, by delay.
type sweep struct {
	ratio  float64
	fine   float64   // what the tempo costs, negative
	inner  []float64 // sum over the notes, of the curve smoothed once more
	height []float64 // the same of the curve itself
}

// scratch is memory that seekers use one after the other.
type scratch struct{ sums []float64 }

// sweeps walks along the activity with the answer's notes, from a delay on in steps of delayStep, once for each tempo. They are good until the next call.
func (s *seeker) sweeps(from float64, delays int) []sweep {
	ratios := int(math.Round((ratioHigh-ratioLow)/(2*ratioStep))) + 1
	s.scratch.sums = slices.Grow(s.scratch.sums[:0], 2*ratios*delays)
	sums := s.scratch.sums[:2*ratios*delays]
	clear(sums)
	out := make([]sweep, ratios)
	for i := range out {
		ratio := ratioLow + float64(i)*2*ratioStep
		out[i] = sweep{ratio: ratio, fine: tempoOff(ratio), inner: sums[:delays], height: sums[delays : 2*delays]}
		sums = sums[2*delays:]
		for _, step := range s.steps {
			s.group.along(out[i].inner, out[i].height, s.end+from+s.step*ratio*step)
		}
	}
	return out
}

// along adds the curves at a time, seconds, and at each delay after it.
func (c *activity) along(inner, height []float64, time float64) {
	x := time / activityStep
	for x < 0 && len(inner) > 0 { // before the recording there is nothing
		inner, height, x = inner[1:], height[1:], x+delaySteps
	}
	i := int(x)
	f := x - float64(i)
	n := min(len(inner), (len(c.wide)-i)/delaySteps)
	if n <= 0 {
		return
	}
	wide, smooth := c.wide[i:], c.smooth[i:]
	inner, height = inner[:n], height[:n]
	for k := range inner {
		a, b := wide[delaySteps*k:delaySteps*k+2], smooth[delaySteps*k:delaySteps*k+2]
		inner[k] += float64(a[0])*(1-f) + float64(a[1])*f
		height[k] += float64(b[0])*(1-f) + float64(b[1])*f
	}
}
