package measure

// noteToBeat is the weighted note-to-beat distance of Gómez, Melvin, Rappaport & Toussaint (2005),
// BRIDGES. For a note x from beat e(i) up to e(i+1), T is its distance to the nearer beat divided
// by the length of a beat. D(x) is 0 on a beat; 1/T if the note ends at or before e(i+1); 2/T if it
// ends after e(i+1) and before e(i+2); 1/T if it ends at or after e(i+2). The value is the sum of D
// divided by the number of notes. A note lasts until the next onset.
//
// The tie at e(i+2) is the one that gives the published value for the soukous timeline, 18/5;
// counting 2/T there gives 22/5. The publication is cyclic; in a phrase with an end the last note
// lasts to the end, and beats go on after it. Beats of unequal length are our own choice: T is
// measured in the beat that holds the note. Range: 0 up.
func noteToBeat(p *Pattern) (float64, error) {
	sum, err := p.noteToBeat(false)
	return sum / float64(max(len(p.onsets), 1)), err
}

// noteToBeatSum is the variant of Song's toolkit (Song, Pearce & Harte, Sound and Music Computing
// 2015), restated from descriptions of it: as noteToBeat, but a note that ends exactly at e(i+2)
// counts 2/T, and the sum is not divided by the number of notes. Range: 0 up.
func noteToBeatSum(p *Pattern) (float64, error) { return p.noteToBeat(true) }

// noteToBeat adds D over all notes; late says that a note that ends at e(i+2) counts double.
func (p *Pattern) noteToBeat(late bool) (float64, error) {
	if len(p.onsets) == 0 {
		return 0, errEmpty
	}
	sum, beat := 0.0, 0
	last := len(p.beats) - 1
	for k, o := range p.onsets {
		for p.beats[beat+1] <= o {
			beat++
		}
		if p.beats[beat] == o {
			continue
		}
		at, start, end := p.at(o), p.at(p.beats[beat]), p.at(p.beats[beat+1])
		d := float64(end-start) / float64(min(at-start, end-at))
		stop := at + p.until(k)
		// The beat after the next one; beats go on after the end as at the start.
		after := end
		if beat+2 <= last {
			after = p.at(p.beats[beat+2])
		} else {
			after += p.at(p.beats[1])
		}
		if stop > end && (stop < after || late && stop == after) {
			d *= 2
		}
		sum += d
	}
	return sum, nil
}
