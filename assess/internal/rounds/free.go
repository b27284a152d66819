package rounds

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/transcribe"
)

// A call of which the bank knows nothing is read as it was clapped: a run of the leader's strokes,
// written down, is a template of its own. It is scored as those of the bank are, competes with
// them, and is answered by the same search; only its prior differs, for a free rhythm explains any
// strokes.

// run is consecutive strokes of the leader's that may be one call.
type run []int // attacks

// runsFrom lists the runs that begin at attack i and end where the leader pauses: of all attacks
// that are rather the leader's, and of those that are so for sure.
func (p *pass) runsFrom(i int) []run {
	out := p.runsOf(i, p.strokeOdds())
	if !p.leader.known {
		return out
	}
	for _, sure := range p.runsOf(i, freeSure) {
		if !slices.ContainsFunc(out, func(r run) bool { return slices.Equal(r, sure) }) {
			out = append(out, sure)
		}
	}
	return out
}

func (p *pass) runsOf(i int, odds float64) (out []run) {
	if p.leader.odds[i] < odds && !p.duller(i, i, odds) {
		return nil
	}
	now, pause := run{i}, 0
	for k := i + 1; k < len(p.attacks) && len(now) < freeMost; k++ {
		if p.leader.odds[k] < odds && !p.duller(k, now[len(now)-1], odds) {
			continue
		}
		at := p.attacks[k].Time
		if at-p.attacks[now[len(now)-1]].Time > freeGap || at-p.attacks[i].Time > freeLongest {
			break
		}
		now = append(now, k)
		if p.pauseAfter(k, odds) {
			for n := max(pause+1, len(now)-freeSpare); n <= len(now); n++ {
				if n >= freeLeast && p.attacks[now[n-1]].Time-p.attacks[i].Time >= freeShortest {
					out = append(out, slices.Clone(now[:n]))
				}
			}
			pause = len(now)
		}
	}
	return out
}

// duller reports whether attack k may be a stroke all the same: a stamp or a pat, or one that
// follows another so closely that it sounds duller.
func (p *pass) duller(k, before int, odds float64) bool {
	switch {
	case !p.leader.known || odds >= freeSure:
		return false
	case p.attacks[k].Low:
		return p.leader.odds[k] >= freeDullOdds && p.single[k] > sharpOdds
	}
	return p.leader.odds[k] >= freeHeelOdds && p.level[k] >= p.leader.loud+freeHeelLevel &&
		p.attacks[k].Time-p.attacks[before].Time < freeHeel
}

// strokeOdds are what an attack needs to be taken for a stroke of a call that no phrase explains.
func (p *pass) strokeOdds() float64 {
	if p.leader.known {
		return freeOdds
	}
	return freeOddsUnknown
}

// pauseAfter reports whether no attack with such odds of being the leader's follows for a while
// after attack k: only there can a call be over.
func (p *pass) pauseAfter(k int, odds float64) bool {
	for next := k + 1; next < len(p.attacks); next++ {
		if p.attacks[next].Time-p.attacks[k].Time > freePause {
			return true
		}
		if p.leader.odds[next] >= odds {
			return false
		}
	}
	return true
}

// evenBefore finds beats of the leader that lead up to attack i at one distance, which is that to
// the attack too: from when, and how many.
func (p *pass) evenBefore(i int) (from float64, beats int) {
	from = p.attacks[i].Time
	last, spacing := i, 0.0
	for k := i - 1; k >= 0 && beats < 4; k-- {
		if p.leader.odds[k] < p.strokeOdds() {
			continue
		}
		gap := p.attacks[last].Time - p.attacks[k].Time
		if beats == 0 {
			spacing = gap
		}
		if gap < fastestBeat || gap > slowestBeat || math.Abs(gap/spacing-1) > freeCountInEven {
			break
		}
		from, beats, last = p.attacks[k].Time, beats+1, k
	}
	return from, beats
}

// leastFree is what a free call must earn to be proposed: less where its strokes need a reason.
func (p *pass) leastFree() float64 {
	if p.leader.known && p.final {
		return freeCall
	}
	return leastCall
}

// freeCall is a run of strokes as a call of the rhythm that they make.
func (m *matcher) freeCall(strokes run) (proposal, bool) {
	m.first, m.last = strokes[0], strokes[len(strokes)-1]
	level := m.callLevel(strokes)
	c := proposal{template: -1, guessed: true, matched: strokes}
	c.earned = -freeCosts - m.levelCosts(level) - m.uneven(&template{plain: true}, strokes)
	times := make([]float64, len(strokes))
	for n, k := range strokes {
		times[n] = m.attacks[k].Time
		c.earned += m.worth.note[k] - freeNoteCosts
	}
	// What strokes between the notes cost is known before the notation, which takes the time.
	left := c.earned - m.straysWithin(strokes, level) - m.leastFree()
	if left <= 0 {
		return c, false
	}
	t, ok := transcribe.OnsetsWithin(times, 0, left/freePrior)
	if !ok {
		return c, false
	}
	template := newTemplate(-1, Template{Phrase: t.Phrase}, 0)
	m.seconds = times[len(times)-1] - times[0]
	c.phrase, c.call = t.Phrase, t.Map
	c.earned -= freePrior*t.Prior + m.strays(&template, strokes, level)
	for n, s := range t.Phrase.Strokes() {
		late := (times[n] - t.Map.At(float64(s.Step))) / timingSD
		c.earned -= min(late*late/2, timingMost)
	}
	if template.silentStart {
		c.earned -= transcribe.SilentStart
	}
	c.start, c.end = times[0], t.Map.At(float64(t.Phrase.Steps()))
	return c, c.earned > m.leastFree()
}

// free adds the calls of a rhythm of their own that begin at attack i.
func (w *proposer) free(all []proposal, i int) []proposal {
	from, beats := w.evenBefore(i)
	for _, strokes := range w.runsFrom(i) {
		call, ok := w.matcher.freeCall(strokes)
		if !ok {
			continue
		}
		if beats >= freeCountIn {
			call.earned += countInEarns*float64(beats) - countInCosts
			call.start = from
		}
		for _, reading := range w.withAnswers(call, &w.scratch) {
			switch {
			case reading.answer != nil:
				all = append(all, w.barred(reading))
			case w.leader.known:
				all = append(all, reading)
			}
		}
	}
	return all
}

// barred is an answered free call with the metre and bars that the distance to its answer tells.
func (p *pass) barred(c proposal) proposal {
	times := make([]float64, len(c.matched))
	for n, k := range c.matched {
		times[n] = p.attacks[k].Time
	}
	distance := c.from - times[0]
	if p.habit.weight > 0 {
		distance -= p.habit.delay * p.habit.unit.length(c)
	}
	t, ok := transcribe.Onsets(times, max(0, distance))
	if !ok {
		c.end = c.answerOver()
		return c
	}
	ratio := c.answer.Map.StepSeconds / c.call.StepSeconds
	c.phrase, c.call = t.Phrase, t.Map
	answer := *c.answer
	answer.Map.StepSeconds = t.Map.StepSeconds * ratio
	answer.Map.Origin = c.from - float64(t.Phrase.Strokes()[0].Step)*answer.Map.StepSeconds
	c.answer = &answer
	c.to = answer.Map.At(float64(t.Phrase.Steps()))
	c.end = c.answerOver()
	return c
}
