package measure

import "clapladder.example/rhythm"

// toussaintMetrical is the metrical complexity of Toussaint (2002), BRIDGES 157-168: the sum of the
// k largest metrical weights minus the sum of the weights at the k onsets, with weights counted as
// levels (16 pulses: 5 1 2 1 3 1 2 1 4 …). Only differences matter, so the result does not depend
// on the lowest weight.
//
// It is the same for a cycle and a phrase with an end. For phrases of several bars the largest
// weights are taken over all bars. Range: 0 up, in levels.
func toussaintMetrical(p *Pattern) float64 {
	sum := 0
	for _, o := range p.onsets {
		sum += int(p.depth[o])
	}
	// The k strongest points: fill up from the strongest level.
	var points [32]int
	for _, d := range p.depth {
		points[d]++
	}
	left := len(p.onsets)
	for d, n := range points {
		n = min(n, left)
		sum -= d * n
		if left -= n; left == 0 {
			break
		}
	}
	return float64(sum)
}

// offBeatness is the off-beatness of Toussaint (2005): the number of onsets on pulses that are not
// a multiple of any divisor of n other than 1 and n, where n is the number of pulses in a bar (16:
// the odd pulses; 12: 1, 5, 7 and 11). Bars of a phrase are counted one by one.
//
// It is the same for a cycle and a phrase with an end. Undefined for unequal beats, where a polygon
// through the first pulse does not meet the beats (errUneven), for mixed divisions (errMixed) and
// for a prime number of pulses (errPrime). The number of pulses matters: see the package comment.
// Range: 0 to the number of onsets.
func offBeatness(p *Pattern) (float64, error) {
	switch err := p.pulsed(); {
	case err != nil:
		return 0, err
	case p.kind() == rhythm.Additive:
		return 0, errUneven
	case prime(p.bar):
		return 0, errPrime
	}
	count := 0
	for _, o := range p.onsets {
		if gcd(o%p.bar, p.bar) == 1 {
			count++ // shares no divisor with n, so it is a multiple of none
		}
	}
	return float64(count), nil
}
