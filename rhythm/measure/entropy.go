package measure

import (
	"math"
	"slices"
)

// maxOnsets bounds the measures that look at all pairs of onsets.
const maxOnsets = 2048

// intervalEntropy is the Shannon entropy, in bits, of the distribution of inter-onset intervals
// between neighbours (Toussaint 2013, The Geometry of Musical Rhythm). A cycle includes the
// interval that wraps; a phrase with an end does not. It needs one interval (errFewStrokes). Range:
// 0 (all alike) to log2 of the number of intervals.
func intervalEntropy(p *Pattern) (float64, error) {
	if err := p.neighbours(); err != nil {
		return 0, err
	}
	return entropyOf(p.work.values), nil
}

// distinctIntervals is the number of different inter-onset intervals between neighbours, cycle and
// end as for intervalEntropy. Range: 1 up.
func distinctIntervals(p *Pattern) (float64, error) {
	if err := p.neighbours(); err != nil {
		return 0, err
	}
	return distinct(p.work.values), nil
}

// distanceEntropy is the Shannon entropy, in bits, of the full-interval histogram: the distances of
// all pairs of onsets (Toussaint 2013). In a cycle a distance is the shorter way round, min(d,
// n-d); in a phrase with an end it is d. It needs two onsets (errFewStrokes) and at most 2048
// (errTooLong). Range: 0 up.
func distanceEntropy(p *Pattern) (float64, error) {
	if err := p.pairs(); err != nil {
		return 0, err
	}
	return entropyOf(p.work.values), nil
}

// distinctDistances is the number of different distances in the full-interval histogram, cycle and
// end as for distanceEntropy. Range: 1 up; at most n/2 in a cycle of n pulses.
func distinctDistances(p *Pattern) (float64, error) {
	if err := p.pairs(); err != nil {
		return 0, err
	}
	return distinct(p.work.values), nil
}

// neighbours puts the sorted intervals between neighbours into work.values.
func (p *Pattern) neighbours() error {
	p.work.values = p.work.values[:0]
	m := p.intervals()
	if m < 1 {
		return errFewStrokes
	}
	for k := range m {
		p.work.values = append(p.work.values, p.until(k))
	}
	slices.Sort(p.work.values)
	return nil
}

// pairs puts the sorted distances of all pairs into work.values.
func (p *Pattern) pairs() error {
	p.work.values = p.work.values[:0]
	switch {
	case len(p.onsets) < 2:
		return errFewStrokes
	case len(p.onsets) > maxOnsets:
		return errTooLong
	}
	n := p.length()
	for i, o := range p.onsets {
		from := p.at(o)
		for _, q := range p.onsets[i+1:] {
			d := p.at(q) - from
			if p.Cyclic {
				d = min(d, n-d)
			}
			p.work.values = append(p.work.values, d)
		}
	}
	slices.Sort(p.work.values)
	return nil
}

// entropyOf is the entropy in bits of the values of a sorted list.
func entropyOf(sorted []int) float64 {
	sum, total := 0.0, float64(len(sorted))
	for i := 0; i < len(sorted); {
		j := i + 1
		for j < len(sorted) && sorted[j] == sorted[i] {
			j++
		}
		share := float64(j-i) / total
		sum -= share * math.Log2(share)
		i = j
	}
	return max(0, sum) // no minus zero
}

func distinct(sorted []int) float64 {
	count := 0
	for i, v := range sorted {
		if i == 0 || v != sorted[i-1] {
			count++
		}
	}
	return float64(count)
}
