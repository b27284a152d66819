package measure

// clock is a regular clock laid under a pattern, and how badly it fits.
type clock struct {
	Unit       int // pulses from tick to tick; 0 where ticks are the beats
	Phase      int // pulse of the first tick
	Silent     int // ticks on silence, the counter-evidence of Povel & Essens ("-ev")
	Unaccented int // ticks on a tone without accent, neutral evidence ("0ev")
}

// silentCost weighs a tick on silence against one on an unaccented tone: W = 4, as in Essens
// (1995).
const silentCost = 4

// Score is C = w * Silent + Unaccented: lower is a better clock.
func (c clock) Score(w float64) float64 { return w*float64(c.Silent) + float64(c.Unaccented) }

// povelEssens is the C-score of Povel & Essens (1985), Music Perception 2:411-440, of the best
// clock, with W = 4 as in Essens (1995): see bestClock and [Clock.Score]. Range: 0 up. Undefined
// where pulses are not common or no clock divides the pattern.
func povelEssens(p *Pattern) (float64, error) {
	clock, err := bestClock(p)
	return clock.Score(silentCost), err
}

// povelEssensBeat is the C-score, W = 4, of the clock that ticks on the beats: what a listener has
// who was counted in. See beatClock. Range: 0 to four times the number of beats.
func povelEssensBeat(p *Pattern) (float64, error) {
	clock, err := beatClock(p)
	return clock.Score(silentCost), err
}

// bestClock is the clock with the smallest C-score, W = 4, among all phases of units of 2, 3 and 4
// pulses that divide the bar; the first in that order where several are equal. Longer units are
// left out: with 8 pulses the published order of the 35 patterns collapses, and 4 pulses of 200 ms
// are 800 ms already.
//
// accents after the same source: a tone on its own; the second of a group of two; the first and the
// last of a longer group. A group is tones one pulse apart. In a cycle groups run over the end and
// the last clock interval meets the first; in a phrase with an end they don't. Undefined: errMixed,
// errNoClock.
func bestClock(p *Pattern) (clock, error) {
	if err := p.markAccents(); err != nil {
		return clock{}, err
	}
	best, found := clock{}, false
	for unit := 2; unit <= 4; unit++ {
		if p.bar%unit != 0 {
			continue
		}
		for phase := range unit {
			clock := clock{Unit: unit, Phase: phase}
			for i := phase; i < len(p.sounded); i += unit {
				p.tick(&clock, i)
			}
			if !found || clock.Score(silentCost) < best.Score(silentCost) {
				best, found = clock, true
			}
		}
	}
	if !found {
		return clock{}, errNoClock
	}
	return best, nil
}

// beatClock counts the ticks of the clock that is fixed by the metre: every beat. Undefined for
// beats of unequal length (errUneven), whose ticks would not be a clock, and for mixed divisions
// (errMixed), which have no pulse to group tones by.
func beatClock(p *Pattern) (clock, error) {
	if err := p.markAccents(); err != nil {
		return clock{}, err
	}
	ticking := clock{}
	for i, beat := range p.beats[:len(p.beats)-1] {
		if p.beats[i+1]-beat != p.beats[1] {
			return clock{}, errUneven
		}
		p.tick(&ticking, beat)
	}
	ticking.Unit = p.beats[1]
	return ticking, nil
}

func (p *Pattern) tick(clock *clock, pulse int) {
	switch {
	case !p.sounded[pulse]:
		clock.Silent++
	case !p.work.accents[pulse]:
		clock.Unaccented++
	}
}

// markAccents fills work.accents.
func (p *Pattern) markAccents() error {
	n := len(p.sounded)
	if err := p.pulsed(); err != nil {
		return err
	}
	accents := p.work.accents[:0]
	for range n {
		accents = append(accents, false)
	}
	p.work.accents = accents
	if len(p.onsets) == n && p.Cyclic {
		return nil // one group without first or last
	}
	for _, o := range p.onsets {
		before := p.soundsNear(o-1, n)
		after := p.soundsNear(o+1, n)
		// Of a group of two only the second: a first tone counts if two follow.
		accents[o] = !after || !before && p.soundsNear(o+2, n)
	}
	return nil
}

// soundsNear is whether pulse i sounds; in a cycle i may lie up to n outside.
func (p *Pattern) soundsNear(i, n int) bool {
	if i < 0 || i >= n {
		if !p.Cyclic {
			return false
		}
		i = (i + 2*n) % n
	}
	return p.sounded[i]
}
