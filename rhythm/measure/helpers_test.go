package measure

import (
	"fmt"

	"clapladder.example/rhythm"
)

// fromPhrase makes a new pattern of a phrase, with an end.
func fromPhrase(phrase rhythm.Phrase) *Pattern {
	p := &Pattern{}
	p.set(phrase)
	return p
}

// newPattern makes a pattern from the pulses that sound, in increasing order, otherwise as
// [ParsePattern]. The slices are copied.
func newPattern(onsets []int, beat int, subdivisions ...int) (*Pattern, error) {
	pulses := 1
	for _, s := range subdivisions {
		if s < 2 || s > maxPulses || pulses > maxPulses {
			break // layOut says what is wrong
		}
		pulses *= s
	}
	p := &Pattern{onsets: append([]int(nil), onsets...)}
	for i, o := range onsets {
		if o < 0 || o >= pulses || i > 0 && o <= onsets[i-1] {
			return nil, fmt.Errorf("onset %d of the pattern is out of order or outside 0 to %d", o, pulses-1)
		}
		p.loudness = append(p.loudness, 1)
	}
	return p, p.layOut(pulses, beat, subdivisions)
}

// points is the number of points: pulses of the whole pattern, where it has a common pulse.
func (p *Pattern) points() int { return len(p.sounded) }

// weight is the metrical weight of a point after Longuet-Higgins & Lee (1984): 0 for the first of a
// bar, then -1, -2 …
func (p *Pattern) weight(point int) int { return -int(p.depth[point]) }

// indispensabilitiesOf are the weights of Barlow (1987) for a bar with the given subdivisions from
// the top, all prime: a permutation of 0 to n-1, n-1 for the first pulse. Basic weights for two are
// (1 0), for three (2 0 1); those for five (4 0 3 1 2), seven (6 0 4 2 5 1 3) and larger primes
// follow Barlow's rule from memory: the weights of the prime less one, those from p/4 up raised by
// one, with p/4 put in before the last. It returns nil where a subdivision is not a prime up to 31
// and for more than 4096 pulses.
func indispensabilitiesOf(subdivisions ...int) []int {
	n := 1
	if !weighable(subdivisions) {
		return nil
	}
	for _, s := range subdivisions {
		if n *= s; n > maxPulses {
			return nil
		}
	}
	return indispensabilities(make([]int, 0, n), subdivisions)
}

// distanceHistogram is the full-interval histogram: count[d] is the number of pairs of onsets at
// distance d pulses, as defined at distanceEntropy. It is appended to dst and has one more element
// than the largest possible distance. Undefined for mixed divisions.
func distanceHistogram(dst []int, p *Pattern) ([]int, error) {
	if p.mixed {
		return dst, errMixed
	}
	if err := p.pairs(); err != nil {
		return dst, err
	}
	first, longest := len(dst), len(p.sounded)-1
	if p.Cyclic {
		longest = len(p.sounded) / 2
	}
	for range longest + 1 {
		dst = append(dst, 0)
	}
	for _, d := range p.work.values {
		dst[first+d]++
	}
	return dst, nil
}

// pairwiseVariabilityOf is the same index for intervals given as positive lengths in any unit. It
// needs two of them.
func pairwiseVariabilityOf(intervals []float64) (float64, error) {
	if len(intervals) < 2 {
		return 0, errFewStrokes
	}
	sum := 0.0
	for k := range len(intervals) - 1 {
		sum += contrast(intervals[k], intervals[k+1])
	}
	return 100 * sum / float64(len(intervals)-1), nil
}

// clockAt counts the ticks of one clock: unit pulses from tick to tick, the first at pulse phase.
// Undefined where the unit does not divide the pattern (errNoClock).
func clockAt(p *Pattern, unit, phase int) (clock, error) {
	if err := p.markAccents(); err != nil {
		return clock{}, err
	}
	if unit < 1 || phase < 0 || phase >= unit || len(p.sounded)%unit != 0 {
		return clock{}, errNoClock
	}
	clock := clock{Unit: unit, Phase: phase}
	for i := phase; i < len(p.sounded); i += unit {
		p.tick(&clock, i)
	}
	return clock, nil
}

// accents appends the accented pulses of p, as defined at bestClock, to dst in increasing order.
func accents(dst []int, p *Pattern) ([]int, error) {
	if err := p.markAccents(); err != nil {
		return dst, err
	}
	for i, accent := range p.work.accents {
		if accent {
			dst = append(dst, i)
		}
	}
	return dst, nil
}
