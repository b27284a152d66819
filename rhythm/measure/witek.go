package measure

// witek is the syncopation of Witek, Clarke, Wallentin, Kringelbach & Vuust (2014), PLoS ONE
// 9:e94446, for one stream: the pairs of longuetHigginsLee with weight(R) >= weight(N) on a flatter
// profile in which only the first of a bar is stronger than the beats, 0 -3 -2 -3 -1 -3 -2 -3 -1 …
// on sixteenths of 4/4. The publication's weights for drum kit instruments are left out: they have
// no meaning for claps. Other metres have the same profile by analogy: bar 0, beats -1, splits of
// the beat below.
//
// The publication scores loops; cycle and end as for longuetHigginsLee. Range: 0 up, in levels.
func witek(p *Pattern) float64 {
	sum := 0
	for k, note := range p.onsets {
		rest, ok := p.strongestRest(p.depth, k)
		if !ok {
			continue
		}
		// Flattening keeps the order of weights, so the strongest rest stays a strongest rest.
		if r, n := p.flat(rest), p.flat(note); r <= n {
			sum += int(n - r)
		}
	}
	return float64(sum)
}

// flat is the level of a point when all beats but the first of the bar are alike.
func (p *Pattern) flat(point int) int8 {
	d := p.depth[point]
	if d <= p.deep {
		return min(d, 1)
	}
	return min(p.deep, 1) + d - p.deep
}
