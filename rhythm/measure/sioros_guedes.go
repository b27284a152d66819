package measure

// siorosGuedes is the syncopation of Sioros & Guedes (2011), restated from descriptions of its use
// in Song's toolkit (Song, Pearce & Harte 2015). For an onset at level h (0 the first of a bar) and
// every level l from h to the finest, take the nearest points before and after whose level is l or
// stronger; the difference to a point at level h' with loudness V' is (V - V') * min(1, 0.5 +
// 0.5*|h - h'|/4), and the two are averaged as (0.8*before + after)/1.8. The onset's syncopation is
// (1 - 0.5^h) times the smallest average over the levels; the value is the sum over onsets.
//
// It is the only measure that hears accents: a stroke has loudness 1, but 2/3 if it has no accent
// and others have one (our own choice). An onset softer than its surroundings counts 0, never less
// (own choice too). In a cycle the nearest point may lie in the turn before or after; in a phrase
// with an end, after the last point there is nothing and the difference before it counts alone.
// Every metre. Range: 0 to the number of onsets.
func siorosGuedes(p *Pattern) float64 {
	finest := int8(0)
	for _, d := range p.depth {
		finest = max(finest, d)
	}
	sum := 0.0
	for k, o := range p.onsets {
		h := p.depth[o]
		if h == 0 {
			continue
		}
		smallest := 1.0
		before, after := o, o
		for l := finest; l >= h; l-- {
			// The first point of the bar passes for every level, so the search backwards ends
			// there.
			for before == o || p.depth[before] > l {
				before--
			}
			for after == o || after < len(p.depth) && p.depth[after] > l {
				after++
			}
			average := p.softer(k, before)
			if after < len(p.depth) {
				average = (0.8*average + p.softer(k, after)) / 1.8
			} else if p.Cyclic {
				average = (0.8*average + p.softer(k, 0)) / 1.8
			}
			smallest = min(smallest, average)
		}
		if smallest > 0 {
			sum += (1 - 1/float64(int(1)<<h)) * smallest
		}
	}
	return sum
}

// softer is by how much the other point is softer than onset k, less where both are of like level.
func (p *Pattern) softer(k, other int) float64 {
	h, g := p.depth[p.onsets[k]], p.depth[other]
	loudness := 0.0
	if p.sounded[other] {
		loudness = p.loudness[p.onsetAt(other)]
	}
	return (p.loudness[k] - loudness) * min(1, 0.5+0.5*float64(max(h-g, g-h))/4)
}

// onsetAt is the index of the onset at a point that sounds.
func (p *Pattern) onsetAt(point int) int {
	low, high := 0, len(p.onsets)-1
	for low < high {
		if middle := (low + high) / 2; p.onsets[middle] < point {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return low
}
