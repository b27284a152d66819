package rounds

import (
	"math"

	"clapladder.example/rhythm"
)

// freeFines are what the tempos tried first cost, negative.
var freeFines = func() (fines [len(freeRatios)]float64) {
	for i, ratio := range freeRatios {
		fines[i] = -ratioCosts(ratio)
	}
	return fines
}()

// improvise adds calls that begin at attack i with whatever rhythm, where an answer repeats it.
func (p *pass) improvise(all []proposal, i int) []proposal {
	if p.leader.odds[i] < p.freeOdds() {
		return all
	}
	run := []int{i}
	best := proposal{}
	for k := i + 1; k < len(p.attacks) && len(run) < freeMost; k++ {
		if p.leader.odds[k] < p.freeOdds() {
			continue
		}
		gap := p.attacks[k].Time - p.attacks[run[len(run)-1]].Time
		if gap > freeGap || p.attacks[k].Time-p.attacks[i].Time > freeLongest {
			break
		}
		run = append(run, k)
		if !p.pauseAfter(k) || len(run) < freeLeast || p.attacks[k].Time-p.attacks[i].Time < freeShortest {
			continue
		}
		if call, ok := p.freeCall(run); ok && (best.matched == nil || call.total() > best.total()) {
			best = call
			best.matched = append([]int(nil), run...)
		}
	}
	if best.matched != nil {
		all = append(all, best)
	}
	return all
}

// freeOdds are what an attack needs to be taken for a note of a call that no phrase explains.
func (p *pass) freeOdds() float64 {
	if p.leader.known {
		return freeOdds
	}
	return freeOddsUnknown
}

// evenBefore finds beats of the leader that lead up to attack i at one distance, which is that to
// the attack too: from when, and how many.
func (p *pass) evenBefore(i int) (from float64, beats int) {
	from = p.attacks[i].Time
	last, spacing := i, 0.0
	for k := i - 1; k >= 0 && beats < 4; k-- {
		if p.leader.odds[k] < p.freeOdds() {
			continue
		}
		gap := p.attacks[last].Time - p.attacks[k].Time
		if beats == 0 {
			spacing = gap
		}
		if gap < fastestBeat || gap > slowestBeat || math.Abs(gap/spacing-1) > 0.08 {
			break
		}
		from, beats, last = p.attacks[k].Time, beats+1, k
	}
	return from, beats
}

// pauseAfter reports whether the leader is silent for a while after attack k: only there can a call
// be over.
func (p *pass) pauseAfter(k int) bool {
	for next := k + 1; next < len(p.attacks); next++ {
		if p.attacks[next].Time-p.attacks[k].Time > freePause {
			return true
		}
		if p.leader.odds[next] >= p.freeOdds() {
			return false
		}
	}
	return true
}

// freeCall scores a run of attacks as a call with the best answer that repeats it.
func (p *pass) freeCall(run []int) (proposal, bool) {
	c := proposal{template: -1, earned: -freeCosts}
	level := 0.0
	for _, k := range run {
		level += p.level[k] / float64(len(run))
	}
	shortest := math.Inf(1)
	for n, k := range run {
		off := (p.level[k] - level) / levelSD
		c.earned += freeNoteEarns + clampOdds(p.leader.odds[k]) - min(off*off/2, 2)
		if n > 0 {
			shortest = min(shortest, p.attacks[k].Time-p.attacks[run[n-1]].Time)
		}
	}
	first, last := p.attacks[run[0]].Time, p.attacks[run[len(run)-1]].Time
	times := make([]float64, len(run))
	found := false
	var answer Answer
	earned := 0.0
	try := func(shift, ratio, fine float64) {
		costs := waitSecondCosts*(shift-(last-first))/2 - fine
		if freeAnswerMost-costs <= earned {
			return // however well it matches
		}
		for n, k := range run {
			times[n] = first + shift + (p.attacks[k].Time-first)*ratio
		}
		match, mean := p.group.clap.pulses(times, times[0]-0.12, times[len(times)-1]+0.2)
		if mean < leastActivity {
			return
		}
		score := min(freeAnswerEarns*(match-matchEven), freeAnswerMost) - costs
		for n := range times { // the leader's own attacks there make it the next call
			if k := p.nearest.index(times[n], 0.04); k >= 0 {
				score -= 0.7 * max(0, min(p.leader.odds[k], 2))
			}
		}
		if score > earned {
			earned, found = score, true
			answer = Answer{Map: rhythm.TimeMap{Origin: times[0], StepSeconds: ratio}, Match: match}
		}
	}
	least := last - first + max(0.15, 0.8*shortest)
	for shift := least; shift <= last-first+freeWait; shift += 2 * activityStep {
		if p.group.clap.average(first+shift-0.05, first+shift+0.1) < 0.05 {
			continue
		}
		for i, ratio := range freeRatios {
			try(shift, ratio, freeFines[i])
		}
	}
	if !found || earned < freeAnswerLeast {
		return c, false
	}
	shift, ratio := answer.Map.Origin-first, answer.Map.StepSeconds
	for _, d := range []float64{-0.01, 0, 0.01} {
		for _, r := range []float64{-0.02, -0.01, 0, 0.01, 0.02} {
			try(shift+d, ratio+r, -ratioCosts(ratio+r))
		}
	}
	for n, k := range run {
		times[n] = answer.Map.Origin + (p.attacks[k].Time-first)*answer.Map.StepSeconds
	}
	earned += p.group.clap.noteByNote(times, max(times[0]-2*shortest, last+0.1), times[len(times)-1]+0.2) - freeNoteShare*float64(len(times))
	if earned < 0 {
		return c, false
	}
	c.answer, c.answered = &answer, earned
	c.start = first
	if from, beats := p.evenBefore(run[0]); beats >= freeCountIn {
		c.earned += countInEarns*float64(beats) - countInCosts
		c.start = from
	}
	c.from = answer.Map.Origin
	c.end = answer.Map.Origin + (last-first)*answer.Map.StepSeconds + min(0.3, shortest/2)
	c.to = c.end
	return c, true
}
