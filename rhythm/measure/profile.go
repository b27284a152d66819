package measure

import "clapladder.example/rhythm"

// profileMusicians is the distance of a rhythm from the pulses that musicians found to fit best in
// its metre: the sum of the k largest ratings minus the sum of the ratings at the k onsets (the
// form of toussaintMetrical), divided by k. The ratings are the goodness of fit of probe sounds in
// sixteenths of 4/4, 3/4 and 6/8 in Palmer & Krumhansl (1990), Journal of Experimental Psychology:
// Human Perception and Performance 16:728-741, experiment 2. The score is our own.
//
// It is the same for a cycle and a phrase with an end. Undefined for other metres and for strokes
// between the sixteenths (errNoProfile). Range: 0 up to the span of the ratings, below 4.
func profileMusicians(p *Pattern) (float64, error) { return p.profile(0) }

// profileNonMusicians is profileMusicians with the ratings of people without musical training.
// Range: 0 up, below 3.
func profileNonMusicians(p *Pattern) (float64, error) { return p.profile(1) }

// ratings by group: musicians, then others (there four decimals).
var (
	ratings44 = [2][]float64{
		{6.14, 3.98, 4.22, 3.32, 5.88, 2.92, 4.36, 3.4, 5.68, 2.72, 3.02, 3.12, 5.38, 3.26, 4.72, 4.3},
		{
			4.0994, 3.4437, 3.7417, 3.7219, 5.1722, 3.3444, 3.2053, 3.9205, 4.7351, 4.4768, 3.4239, 4,
			5.2318, 3.8212, 4.2384, 4.298,
		},
	}
	ratings34 = [2][]float64{
		{6.44, 2.72, 4.76, 3.25, 6.06, 2.86, 4.23, 3.44, 5.86, 2.72, 4.69, 3.32},
		{4.2093, 3.7442, 3.6744, 4.1163, 5.3256, 3.5116, 4.2326, 4.0698, 5.3488, 3.3488, 3.2093, 3.5349},
	}
	ratings68 = [2][]float64{
		{6.11, 4.09, 5.09, 2.95, 4.92, 3.16, 5.61, 3.71, 4.07, 3.02, 5.11, 4.57},
		{4.3095, 3.6667, 5.3095, 3.4524, 4.6429, 3.1667, 4.8095, 3.5238, 4.9762, 4.0238, 4.881, 4.5952},
	}
)

func (p *Pattern) profile(group int) (float64, error) {
	if err := p.pulsed(); err != nil {
		return 0, err
	}
	ratings := p.ratings(group)
	if ratings == nil || len(ratings)%p.bar != 0 && p.bar%len(ratings) != 0 {
		return 0, errNoProfile
	}
	bars := len(p.sounded) / p.bar
	// All ratings of the phrase, largest first, less those at the onsets.
	weights := p.work.weights[:0]
	sum := 0.0
	for _, o := range p.onsets {
		inBar := o % p.bar * len(ratings)
		if inBar%p.bar != 0 {
			return 0, errNoProfile
		}
		sum -= ratings[inBar/p.bar]
	}
	weights = append(weights, ratings...)
	p.work.weights = weights
	left := len(p.onsets)
	for left > 0 && len(weights) > 0 {
		best := 0
		for i, w := range weights {
			if w > weights[best] {
				best = i
			}
		}
		take := min(left, bars)
		sum += float64(take) * weights[best]
		left -= take
		weights[best] = weights[len(weights)-1]
		weights = weights[:len(weights)-1]
	}
	return max(0, sum) / float64(len(p.onsets)), nil
}

// ratings picks the profile of the pattern's metre, nil if there is none.
func (p *Pattern) ratings(group int) []float64 {
	beats := p.bar / p.beats[1]
	kind := p.kind()
	if p.tree.meter.IsZero() && p.beats[1]%3 == 0 {
		kind = rhythm.Compound
	}
	switch {
	case len(p.splits) == 0:
	case kind == rhythm.Simple && beats == 4:
		return ratings44[group]
	case kind == rhythm.Simple && beats == 3:
		return ratings34[group]
	case kind == rhythm.Compound && beats == 2:
		return ratings68[group]
	}
	return nil
}
