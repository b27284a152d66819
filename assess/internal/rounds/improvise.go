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
	freeOddsUnknown = 1.2 // as long as the leader's sound is not known
	freeWait        = 4.0 // seconds from the last note to the first of the answer
	freePause       = 0.8 // seconds: the shortest answer to anything
	freeAnswerLeast = 1.0
	freeNoteShare   = 0.15 // a free rhythm's notes lie where the call's lay, not where a phrase says
	freeCountIn     = 3    // beats
	freeAnswerEarns = 6.0
	freeAnswerMost  = 3.0
)

// Tempos of the answer over that of the call that are tried first, and what they cost, negative.
var (
	freeRatios = [...]float64{0.92, 0.96, 1, 1.04, 1.08}
	freeFines  = func() (fines [len(freeRatios)]float64) {
		for i, ratio := range freeRatios {
			fines[i] = tempoOff(ratio)
		}
		return fines
	}()
)

// improvise adds calls that begin at attack i with whatever rhythm, where an answer repeats it.
func (f *finder) improvise(all []proposal, i int) []proposal {
	if f.leader.odds[i] < f.freeOdds() {
		return all
	}
	run := []int{i}
	best := proposal{}
	for k := i + 1; k < len(f.attacks) && len(run) < freeMost; k++ {
		if f.leader.odds[k] < f.freeOdds() {
			continue
		}
		gap := f.attacks[k].Time - f.attacks[run[len(run)-1]].Time
		if gap > freeGap || f.attacks[k].Time-f.attacks[i].Time > freeLongest {
			break
		}
		run = append(run, k)
		if !f.pauseAfter(k) || len(run) < freeLeast || f.attacks[k].Time-f.attacks[i].Time < freeShortest {
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

// freeOdds are what an attack needs to be taken for a note of a call that no phrase explains.
func (f *finder) freeOdds() float64 {
	if f.leader.known {
		return freeOdds
	}
	return freeOddsUnknown
}

// evenBefore finds beats of the leader that lead up to attack i at one distance, which is that to the attack too: from when, and how many.
func (f *finder) evenBefore(i int) (from float64, beats int) {
	from = f.attacks[i].Time
	last, spacing := i, 0.0
	for k := i - 1; k >= 0 && beats < 4; k-- {
		if f.leader.odds[k] < f.freeOdds() {
			continue
		}
		gap := f.attacks[last].Time - f.attacks[k].Time
		if beats == 0 {
			spacing = gap
		}
		if gap < fastestBeat || gap > slowestBeat || math.Abs(gap/spacing-1) > 0.08 {
			break
		}
		from, beats, last = f.attacks[k].Time, beats+1, k
	}
	return from, beats
}

// pauseAfter reports whether the leader is silent for a while after attack k: only there can a call be over.
func (f *finder) pauseAfter(k int) bool {
	for next := k + 1; next < len(f.attacks); next++ {
		if f.attacks[next].Time-f.attacks[k].Time > freePause {
			return true
		}
		if f.leader.odds[next] >= f.freeOdds() {
			return false
		}
	}
	return true
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
	try := func(shift, ratio, fine float64) {
		costs := waitCosts*(shift-(last-first))/2 - fine
		if freeAnswerMost-costs <= earned {
			return // however well it matches
		}
		for n, k := range run {
			times[n] = first + shift + (f.attacks[k].Time-first)*ratio
		}
		match, mean := f.group.pulses(times, times[0]-0.12, times[len(times)-1]+0.2)
		if mean < leastActivity {
			return
		}
		score := min(freeAnswerEarns*(match-matchMiddle), freeAnswerMost) - costs
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
		for i, ratio := range freeRatios {
			try(shift, ratio, freeFines[i])
		}
	}
	if !found || earned < freeAnswerLeast {
		return p, false
	}
	shift, ratio := answer.Map.Origin-first, answer.Map.StepSeconds
	for _, d := range []float64{-0.01, 0, 0.01} {
		for _, r := range []float64{-0.02, -0.01, 0, 0.01, 0.02} {
			try(shift+d, ratio+r, tempoOff(ratio+r))
		}
	}
	for n, k := range run {
		times[n] = answer.Map.Origin + (f.attacks[k].Time-first)*answer.Map.StepSeconds
	}
	earned += f.group.noteByNote(times, max(times[0]-2*shortest, last+0.1), times[len(times)-1]+0.2) - freeNoteShare*float64(len(times))
	if earned < 0 {
		return p, false
	}
	p.answer, p.answered = &answer, earned
	p.start = first
	if from, beats := f.evenBefore(run[0]); beats >= freeCountIn {
		p.earned += countInEarns*float64(beats) - countInCosts
		p.start = from
	}
	p.from = answer.Map.Origin
	p.end = answer.Map.Origin + (last-first)*answer.Map.StepSeconds + min(0.3, shortest/2)
	p.to = p.end
	return p, true
}
