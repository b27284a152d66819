package measure

// fitchRosenfeld is the syncopation index of Fitch & Rosenfeld (2007), Music Perception 25:43-58,
// appendix: every rest, not only the strongest, whose weight exceeds that of the note before it
// (strictly) adds the difference. Compare longuetHigginsLee.
//
// The publication wraps around; cyclic patterns do so here, phrases with an end leave out the rests
// before the first note. Range: 0 up, in levels; 0 to 15 for the publication's 30 rhythms.
func fitchRosenfeld(p *Pattern) float64 {
	if len(p.onsets) == 0 {
		return 0
	}
	sum := 0
	first := p.onsets[0]
	note := p.depth[first]
	for i := first + 1; i < len(p.sounded); i++ {
		if p.sounded[i] {
			note = p.depth[i]
		} else if p.depth[i] < note {
			sum += int(note - p.depth[i])
		}
	}
	if p.Cyclic {
		for _, rest := range p.depth[:first] {
			if rest < note {
				sum += int(note - rest)
			}
		}
	}
	return float64(sum)
}
