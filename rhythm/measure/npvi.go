package measure

// pairwiseVariability is the normalised pairwise variability index of the inter-onset intervals,
// nPVI (Grabe & Low 2002; for rhythms Toussaint 2013, The Geometry of Musical Rhythm): 100/(m-1)
// times the sum over neighbours of |d(k) - d(k+1)| / ((d(k) + d(k+1))/2), over m intervals.
//
// In a cycle the interval from the last onset to the first of the next turn is the last of the m
// (Toussaint); in a phrase with an end it is left out, since boxes say when a sound starts and not
// how long the last one lasts. The last interval is never compared with the first. It needs two
// intervals (errFewStrokes). Range: 0 (all alike) to below 200.
func pairwiseVariability(p *Pattern) (float64, error) {
	m := p.intervals()
	if m < 2 {
		return 0, errFewStrokes
	}
	sum := 0.0
	for k := range m - 1 {
		sum += contrast(float64(p.until(k)), float64(p.until(k+1)))
	}
	return 100 * sum / float64(m-1), nil
}

// contrast is the difference of two lengths relative to their mean.
func contrast(a, b float64) float64 { return 2 * max(a-b, b-a) / (a + b) }

// intervals is the number of inter-onset intervals: one for each onset in a cycle, one less in a
// phrase with an end.
func (p *Pattern) intervals() int {
	if p.Cyclic {
		return len(p.onsets)
	}
	return max(0, len(p.onsets)-1)
}
