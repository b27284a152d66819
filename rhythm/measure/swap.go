package measure

import "clapladder.example/rhythm"

// maxSwap bounds the work of the swap distance: onsets times targets.
const maxSwap = 1 << 24

// swapToBeats is the directed swap distance (Díaz-Báñez et al. 2004; used as a measure of
// complexity by Thul 2008) to the beats: of the two, rhythm and beats, the one with more onsets
// moves each of them to an onset of the other, every one of which receives at least one; the value
// is the smallest sum of moves, in pulses.
//
// Moves don't cross the end, in a cycle neither. The simple sum of distances to the nearest beat,
// which drops the rule that every beat receives an onset, is not this. Range: 0 up.
func swapToBeats(p *Pattern) (float64, error) { return p.swap(1, 1) }

// swapMean is the mean of the directed swap distances to the halves of the bar, the beats and the
// halves of the beats, as Thul (2008) takes it for 2, 4 and 8 equally spaced onsets. It is defined
// where these are 2, 4 and 8 in a bar; otherwise errNotFours. Range: 0 up.
func swapMean(p *Pattern) (float64, error) {
	switch err := p.pulsed(); {
	case err != nil:
		return 0, err
	case len(p.splits) == 0:
		return 0, errUneven
	case p.kind() != rhythm.Simple || p.beats[1]%2 != 0 || p.bar != 4*p.beats[1]:
		return 0, errNotFours
	}
	sum := 0.0
	for _, ratio := range [][2]int{{2, 1}, {1, 1}, {1, 2}} {
		d, err := p.swap(ratio[0], ratio[1])
		if err != nil {
			return 0, err
		}
		sum += d
	}
	return sum / 3, nil
}

// swap is the distance to targets every beats/parts beats.
func (p *Pattern) swap(beats, parts int) (float64, error) {
	if len(p.onsets) == 0 {
		return 0, errEmpty
	}
	k, targets := len(p.onsets), (len(p.beats)-1)*parts/beats
	if k*targets > maxSwap {
		return 0, errTooLong
	}
	target := func(j int) int {
		beat := j * beats / parts
		at := p.at(p.beats[beat])
		if part := j * beats % parts; part > 0 {
			at += (p.at(p.beats[beat+1]) - at) * part / parts
		}
		return at
	}
	onset := func(i int) int { return p.at(p.onsets[i]) }
	from, to, rich, poor := onset, target, k, targets
	if targets > k {
		from, to, rich, poor = target, onset, targets, k
	}
	// costs[j]: least sum with the onsets so far moved onto the targets 0 to j, all of them met.
	// The best moves keep the order.
	const far = 1 << 60
	costs := p.work.costs[:0]
	for range poor {
		costs = append(costs, far)
	}
	p.work.costs = costs
	for i := range rich {
		at := from(i)
		for j := poor - 1; j >= 0; j-- {
			least := costs[j]
			switch {
			case j > 0:
				least = min(least, costs[j-1])
			case i == 0:
				least = 0
			}
			costs[j] = min(far, least+max(at-to(j), to(j)-at))
		}
	}
	return float64(costs[poor-1]) / p.unit, nil
}
