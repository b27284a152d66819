package measure

// pulseDensity is the number of onsets divided by the number of pulses (points a beat as in the
// package comment; with mixed divisions the pulse is the plain one: a fourth of a beat, in compound
// metres a third, in additive ones a written unit). The same for a cycle and a phrase with an end.
// Range: above 0, up to 1 where pulses are common.
func pulseDensity(p *Pattern) (float64, error) {
	if len(p.onsets) == 0 {
		return 0, errEmpty
	}
	return float64(len(p.onsets)) / p.pulses(), nil
}

// beatDensity is the number of onsets divided by the number of beats. The same for a cycle and a
// phrase with an end. Range: above 0, up to 16.
func beatDensity(p *Pattern) (float64, error) {
	if len(p.onsets) == 0 {
		return 0, errEmpty
	}
	return float64(len(p.onsets)) / float64(len(p.beats)-1), nil
}

// rateDensity is the number of onsets divided by the duration in seconds at the phrase's tempo. The
// same for a cycle and a phrase with an end. Undefined for patterns that were not made from a
// phrase (errNoTempo). Range: above 0, onsets a second.
func rateDensity(p *Pattern) (float64, error) {
	switch {
	case len(p.onsets) == 0:
		return 0, errEmpty
	case p.seconds <= 0:
		return 0, errNoTempo
	}
	return float64(len(p.onsets)) / p.seconds, nil
}
