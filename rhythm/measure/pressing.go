package measure

import "clapladder.example/rhythm"

// The costs of a unit after Pressing (1997), Cognitive complexity and the structure of musical
// patterns.
const (
	costNull       = 0 // nothing sounds, or only the first pulse
	costFilled     = 1 // every pulse of the coarsest grid sounds
	costRun        = 2 // starts on the first pulse, none of the others here
	costUpbeat     = 3 // the last pulse sounds and leads to the first of the next unit
	costSyncopated = 5 // the first pulse is empty
)

// pressing is the cognitive complexity of Pressing (1997) as used by Toussaint (2002), BRIDGES
// 157-168: each beat of four pulses costs its own cost plus the mean cost of its two halves, and
// the beats are added. Costs: 0 for nothing but possibly the first pulse, 1 where all pulses of the
// coarsest grid sound, 5 where the first pulse is empty, otherwise 2. Upbeats across beats are not
// looked at. That form gives the values of the 2002 table.
//
// It is the same for a cycle and a phrase with an end. Published for 4/4; beats of four pulses in
// other simple metres cost the same here. Undefined where beats are not four pulses (errNotFours,
// errMixed). Range: 0 to 10 for each beat.
func pressing(p *Pattern) (float64, error) {
	switch err := p.pulsed(); {
	case err != nil:
		return 0, err
	case p.kind() != rhythm.Simple:
		return 0, errNotFours
	}
	sum := 0.0
	for i, start := range p.beats[:len(p.beats)-1] {
		if p.beats[i+1]-start != 4 {
			return 0, errNotFours
		}
		sum += float64(p.unitCost(start, start+4, false))
		sum += float64(p.unitCost(start, start+2, false)+p.unitCost(start+2, start+4, false)) / 2
	}
	return sum, nil
}

// pressingFull is the form over all levels of the metre as in Thul (2008) and Song, Pearce & Harte
// (2015), restated from descriptions of them: at each level from the bar down to units of two
// pulses every unit has a cost, an upbeat costs 3, and the level costs the mean of its units; the
// levels are added. Upbeat goes before syncopated where both fit.
//
// In a cycle the last unit leads to the first; in a phrase with an end it leads to nothing. Bars of
// a phrase are units of the top level. Undefined unless the bar is a power of two of pulses. Range:
// 0 to 5 for each level.
func pressingFull(p *Pattern) (float64, error) {
	if err := p.binaryBar(); err != nil {
		return 0, err
	}
	if len(p.splits) == 0 {
		return 0, errUneven
	}
	total := 0.0
	for size := p.bar; size >= 2; size /= 2 {
		sum := 0
		for start := 0; start < len(p.sounded); start += size {
			sum += p.unitCost(start, start+size, true)
		}
		total += float64(sum*size) / float64(len(p.sounded))
	}
	return total, nil
}

// unitCost classifies the pulses from start up to end, a power of two of them.
func (p *Pattern) unitCost(start, end int, upbeats bool) int {
	size := end - start
	// The coarsest grid that holds all sounding pulses.
	step := size
	for i := start + 1; i < end; i++ {
		if p.sounded[i] {
			step = min(step, (i-start)&-(i-start))
		}
	}
	if step == size {
		return costNull
	}
	filled := true
	for i := start; i < end; i += step {
		filled = filled && p.sounded[i]
	}
	next := end < len(p.sounded) && p.sounded[end] || end == len(p.sounded) && p.Cyclic && p.sounded[0]
	switch {
	case filled:
		return costFilled
	case upbeats && p.sounded[end-step] && next:
		return costUpbeat
	case !p.sounded[start]:
		return costSyncopated
	}
	return costRun
}
