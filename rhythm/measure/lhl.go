package measure

// longuetHigginsLee is the syncopation of Longuet-Higgins & Lee (1984), Music Perception 1:424-441,
// weighted: for every note N take the strongest rest R before the next note; where weight(R) >=
// weight(N) the pair is a syncopation of strength weight(R) - weight(N); the value is the sum of
// strengths. Equal weights are a syncopation of strength 0. A rest is any point without an onset:
// boxes carry no durations, so rests and held notes are one.
//
// Cyclic patterns count rests at the start of the next turn after the last note, phrases with an
// end only those up to the end. The value does not depend on how finely the beats are divided.
// Range: 0 up, in levels of the metre.
func longuetHigginsLee(p *Pattern) float64 {
	_, sum := p.syncopations(p.depth)
	return float64(sum)
}

// longuetHigginsLeePairs is the unweighted form of longuetHigginsLee: the number of pairs, those of
// strength 0 among them. Range: 0 to the number of notes.
func longuetHigginsLeePairs(p *Pattern) float64 {
	pairs, _ := p.syncopations(p.depth)
	return float64(pairs)
}

// syncopations counts and adds the pairs under any profile of depths (0 strongest).
func (p *Pattern) syncopations(depth []int8) (pairs, sum int) {
	for k, note := range p.onsets {
		rest, ok := p.strongestRest(depth, k)
		if ok && depth[rest] <= depth[note] {
			pairs++
			sum += int(depth[note] - depth[rest])
		}
	}
	return pairs, sum
}

// strongestRest is the first of the strongest points between onset k and the next; ok is false
// where there is none.
func (p *Pattern) strongestRest(depth []int8, k int) (rest int, ok bool) {
	from, to := p.onsets[k]+1, len(p.sounded)
	if k+1 < len(p.onsets) {
		to = p.onsets[k+1]
	}
	for i := from; i < to; i++ {
		if !ok || depth[i] < depth[rest] {
			rest, ok = i, true
		}
	}
	if p.Cyclic && k+1 == len(p.onsets) {
		for i := range p.onsets[0] {
			if !ok || depth[i] < depth[rest] {
				rest, ok = i, true
			}
		}
	}
	return rest, ok
}
