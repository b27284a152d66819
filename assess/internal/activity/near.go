package activity

import (
	"math"

	"clapladder.example/assess/internal/onset"
)

// Near looks up an activity, much faster in a part of it that a search looks at again and again. It
// is not safe for concurrent use.
type Near struct {
	curve *Activity
	first int       // value at which the part begins
	upTo  []sums    // of the curve's first n values, for n from first on
	wide  []float32 // the part smoothed once more: a correlation with pulses becomes a look-up
}

// How far beyond what is asked for a part reaches, in seconds: searches go forward, but after a
// long call comes a short one.
const (
	behind = 6.0
	ahead  = 12.0
)

// NewNear is one of a curve that covers nothing yet.
func NewNear(c *Activity) Near { return Near{curve: c} }

// Cover makes the part one of a curve that holds two times, in seconds.
func (s *Near) Cover(c *Activity, from, to float64) {
	lo, hi := c.clipped(from, to)
	if s.curve == c && lo >= s.first && hi < s.first+len(s.upTo) {
		return
	}
	lo, hi = c.clipped(from-behind, to+ahead)
	lo = min(lo, len(c.smooth))
	all := c.upTo(lo)
	s.curve, s.first, s.upTo = c, lo, append(s.upTo[:0], all)
	for _, y := range c.smooth[lo:max(lo, hi)] {
		y64 := float64(y)
		all.of, all.squares = all.of+y64, all.squares+y64*y64
		s.upTo = append(s.upTo, all)
	}
	s.wide = s.wide[:0]
}

// widen makes the part one that holds two times, smoothed once more.
func (s *Near) widen(from, to float64) {
	s.Cover(s.curve, from, to)
	if len(s.wide) == 0 {
		s.wide = onset.SmoothPart(s.wide, s.curve.smooth, s.first, s.first+len(s.upTo)-1, sigma/Step)
	}
}

// within sums the values from one on up to another.
func (s *Near) within(lo, hi int) sums {
	first, last := s.at(lo), s.at(hi)
	return sums{last.of - first.of, last.squares - first.squares}
}

func (s *Near) at(n int) sums {
	if k := n - s.first; k >= 0 && k < len(s.upTo) {
		return s.upTo[k]
	}
	return s.curve.upTo(n)
}

// At sums at the given times, ascending, the curve as it is and smoothed once more. Both are zero
// outside the recording.
func (s *Near) At(times []float64) (wide, height float64) {
	s.widen(times[0], times[len(times)-1]+2*Step)
	for _, t := range times {
		x := t / Step
		i := int(x)
		if x < 0 || i+1 >= len(s.curve.smooth) {
			continue
		}
		f := x - float64(i)
		a, b := s.wide[i-s.first:i-s.first+2], s.curve.smooth[i:i+2]
		wide += float64(a[0])*(1-f) + float64(a[1])*f
		height += float64(b[0])*(1-f) + float64(b[1])*f
	}
	return wide, height
}

// Along adds the same at a time, seconds, and at each delay after it.
func (s *Near) Along(wide, height []float64, time float64) {
	x := time / Step
	for x < 0 && len(wide) > 0 { // before the recording there is nothing
		wide, height, x = wide[1:], height[1:], x+DelaySteps
	}
	i := int(x)
	f := x - float64(i)
	n := min(len(wide), (len(s.curve.smooth)-i)/DelaySteps)
	if n <= 0 {
		return
	}
	s.widen(time, time+float64(DelaySteps*n+2)*Step)
	as, bs := s.wide[i-s.first:], s.curve.smooth[i:]
	wide, height = wide[:n], height[:n]
	for k := range wide {
		a, b := as[DelaySteps*k:DelaySteps*k+2], bs[DelaySteps*k:DelaySteps*k+2]
		wide[k] += float64(a[0])*(1-f) + float64(a[1])*f
		height[k] += float64(b[0])*(1-f) + float64(b[1])*f
	}
}

const sqrtPi = 1.7724538509055160273

// Average is the mean height of the curve between two times.
func (s *Near) Average(from, to float64) float64 {
	lo, hi := s.curve.clipped(from, to)
	if hi <= lo {
		return 0
	}
	return s.within(lo, hi).of / float64(hi-lo)
}

// Correlation of the activity between two times with n pulses, each a normal curve as wide as the
// smoothing; inner sums up the curve smoothed once more at the pulses. It is not ok outside the
// recording. One that can't be more than least, if that is positive, comes out as 0.
func (s *Near) Correlation(inner float64, n int, from, to, least float64) (r float64, ok bool) {
	lo, hi := s.curve.clipped(from, to)
	width := float64(hi - lo)
	if width < 5 {
		return 0, false
	}
	// A pulse has unit sum; the square of a normal curve of unit sum has sum 1/(2 sd sqrt(pi)).
	const sd = sigma / Step
	pulses := float64(n)
	pulseSquare := pulses / (2 * sd * sqrtPi)
	all := s.within(lo, hi)
	if least > 0 {
		// covariance and variances, each with the width squared: divisions and roots are slow
		covariance := inner*width - all.of*pulses
		variances := (all.squares*width - all.of*all.of) * (pulseSquare*width - pulses*pulses)
		const rounding = 1 - 1e-5
		if covariance <= 0 || covariance*covariance < rounding*least*least*variances {
			return 0, true
		}
	}
	pulseMean := pulses / width
	mu := all.of / width
	variance := all.squares/width - mu*mu
	pulseVariance := pulseSquare/width - pulseMean*pulseMean
	if variance <= 1e-9 || pulseVariance <= 0 {
		return 0, true
	}
	covariance := inner/width - mu*pulseMean
	return covariance / math.Sqrt(variance*pulseVariance), true
}
