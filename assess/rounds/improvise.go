package rounds

import (
	"math"

	"clapladder.example/rhythm"
)

// What a call that no phrase of the bank explains earns. A free rhythm explains any attacks, so each earns less, and only an
// answer with the same rhythm makes it a call.
const (
	freeNoteEarns   = 0.9
	freeCosts       = 5.0
	freeLeast       = 3   // notes
	freeMost        = 24  // notes
	freeShortest    = 0.9 // seconds from first to last note
	freeLongest     = 9.0
	freeGap         = 1.7 // seconds: the longest interval inside a call
	freeOdds        = 0.0 // attacks with lower odds are not taken as notes
	freeWait        = 4.0 // seconds from the last note to the first of the answer
	freeAnswerLeast = 2.0
	freeAnswerEarns = 9.0
	freeAnswerMost  = 5.0
)

// improvise adds calls that begin at attack i with whatever rhythm, where an answer repeats it.
func (f *finder) improvise(all []proposal, i int) []proposal {
	if f.leader.odds[i] < freeOdds {
		return all
	}
	run := []int{i}
	best := proposal{}
	for k := i + 1; k < len(f.attacks) && len(run) < freeMost; k++ {
		if f.leader.odds[k] < freeOdds {
			continue
		}
		gap := f.attacks[k].Time - f.attacks[run[len(run)-1]].Time
		if gap > freeGap || f.attacks[k].Time-f.attacks[i].Time > freeLongest {
			break
		}
		run = append(run, k)
		if len(run) < freeLeast || f.attacks[k].Time-f.attacks[i].Time < freeShortest {
			continue
		}
		if p, ok := f.freeCall(run); ok && (best.matched == nil || p.total() > best.total()) {
			best = p
			best.matched = append([]int(nil), run...)
		}
	}
	if best.matched != nil {
		all = append(all, best)
	}
	return all
}

// freeCall scores a run of attacks as a call with the best answer that repeats it.
func (f *finder) freeCall(run []int) (proposal, bool) {
	p := proposal{template: -1, earned: -freeCosts}
	level := 0.0
	for _, k := range run {
		level += f.leader.level[k] / float64(len(run))
	}
	shortest := math.Inf(1)
	for n, k := range run {
		off := (f.leader.level[k] - level) / levelSD
		p.earned += freeNoteEarns + clampOdds(f.leader.odds[k]) - min(off*off/2, 2)
		if n > 0 {
			shortest = min(shortest, f.attacks[k].Time-f.attacks[run[n-1]].Time)
		}
	}
	first, last := f.attacks[run[0]].Time, f.attacks[run[len(run)-1]].Time
	times := make([]float64, len(run))
	found := false
	var answer Answer
	earned := 0.0
	try := func(shift, ratio float64) {
		for n, k := range run {
			times[n] = first + shift + (f.attacks[k].Time-first)*ratio
		}
		match, mean := f.group.pulses(times, times[0]-0.12, times[len(times)-1]+0.2)
		if mean < leastActivity {
			return
		}
		off := math.Log(ratio) / ratioSD
		score := min(freeAnswerEarns*(match-matchMiddle), freeAnswerMost) - off*off/2 - waitCosts*(shift-(last-first))/2
		for n := range times { // the leader's own attacks there make it the next call
			if k := f.nearest.index(times[n], 0.04); k >= 0 {
				score -= 0.7 * max(0, min(f.leader.odds[k], 2))
			}
		}
		if score > earned {
			earned, found = score, true
			answer = Answer{Map: rhythm.TimeMap{Origin: times[0], StepSeconds: ratio}, Match: match}
		}
	}
	least := last - first + max(0.15, 0.8*shortest)
	for shift := least; shift <= last-first+freeWait; shift += 2 * activityStep {
		if f.group.average(first+shift-0.05, first+shift+0.1) < 0.05 {
			continue
		}
		for ratio := 0.92; ratio <= 1.085; ratio += 0.04 {
			try(shift, ratio)
		}
	}
	if !found || earned < freeAnswerLeast {
		return p, false
	}
	shift, ratio := answer.Map.Origin-first, answer.Map.StepSeconds
	for _, d := range []float64{-0.01, 0, 0.01} {
		for _, r := range []float64{-0.02, -0.01, 0, 0.01, 0.02} {
			try(shift+d, ratio+r)
		}
	}
	p.answer, p.answered = &answer, earned
	p.start = first
	p.from = answer.Map.Origin
	p.end = answer.Map.Origin + (last-first)*answer.Map.StepSeconds + min(0.3, shortest/2)
	p.to = p.end
	return p, true
}
