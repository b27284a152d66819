package measure

import "math/bits"

// keith is the syncopation of Keith (1991) as counted by Gómez, Melvin, Rappaport & Toussaint
// (2005), BRIDGES: the number of notes that start off the beat. The beat of a note is D, its
// duration up to the next onset rounded down to a power of two; it starts off the beat if its pulse
// is not a multiple of D.
//
// The publication is cyclic: the last note lasts to the first onset of the next turn. In a phrase
// with an end it lasts to the end. In phrases of several bars D is at most one bar. Undefined
// unless the bar is a power of two of pulses (errNotBinary, errUneven, errMixed). Range: 0 to the
// number of onsets.
func keith(p *Pattern) (float64, error) {
	count, _, err := p.keith()
	return float64(count), err
}

// keithWeighted is the weighted form of keith: each note adds 0 if it starts and ends on its beat,
// 1 if only the end is off (hesitation), 2 if only the start is off (anticipation), 3 if both are
// (syncopation). Range: 0 to three times the number of onsets.
func keithWeighted(p *Pattern) (float64, error) {
	_, sum, err := p.keith()
	return float64(sum), err
}

func (p *Pattern) keith() (count, sum int, err error) {
	if err := p.binaryBar(); err != nil {
		return 0, 0, err
	}
	for k, o := range p.onsets {
		d := p.until(k)
		beat := min(1<<(bits.Len(uint(d))-1), p.bar)
		if o%beat != 0 {
			count++
			sum += 2
		}
		if (o+d)%beat != 0 {
			sum++
		}
	}
	return count, sum, nil
}
