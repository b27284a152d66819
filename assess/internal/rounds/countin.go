package rounds

import "math"

// A bar of beats before the call, clapped or with sticks, is a count-in.
const (
	countInEarns = 2.4  // for each beat of it
	countInCosts = 2.0  // a count-in is less usual than none
	countInReach = 0.05 // seconds around the pulse
	countInClear = 0.6  // of a beat before it without the leader
)

// withCountIn is the proposal with the bar of beats before it, where that was counted in aloud by strokes.
func (f *finder) withCountIn(p proposal) (proposal, bool) {
	perBar := p.phrase.Meter().Beats()
	bar := float64(p.phrase.BarSteps())
	first := math.Inf(1)
	for i := range perBar {
		at := p.call.At(float64(p.phrase.BeatSteps()[i]) - bar)
		k := f.nearest.index(at, countInReach)
		if k < 0 || f.leader.odds[k] < 0 {
			return p, false
		}
		p.earned += countInEarns + clampOdds(f.leader.odds[k])
		first = min(first, f.attacks[k].Time)
	}
	beat := p.call.BeatSeconds(p.phrase)
	if k := f.nearest.index(first-beat, countInClear*beat/2); k >= 0 && f.sounds(k) {
		return p, false // the beats went on before: it is no count-in
	}
	p.earned -= countInCosts
	p.start = first
	return p, true
}

// sounds reports whether an attack is loud enough to be the leader's.
func (f *finder) sounds(k int) bool { return f.leader.odds[k] > 0 }
