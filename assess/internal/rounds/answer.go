package rounds

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"clapladder.example/rhythm"
)

// An answer's pattern is looked for from a little before the end of the call until answerWait later.
const (
	answerEarly    = 0.35 // of a beat before the end of the call
	answerWait     = 6.0  // seconds
	seamlessWithin = 0.6  // of a beat: an answer this close to the end of the call is on the next bar
	ratioLow       = 0.86 // answer's step over the call's step
	ratioHigh      = 1.14
	ratioStep      = 0.02
	ratioSD        = 0.05
	waitCosts      = 0.6  // for each second
	laterCosts     = 1.0  // an answer that does not follow on the next bar
	lateSD         = 0.09 // seconds around the usual lag of an answer on the next bar
	usualLag       = -0.01
	lateMost       = 3.0
	offBarCosts    = 0.6  // an answer that neither follows at once nor waits whole beats
	matchEarns     = 6.0  // for a full correlation
	matchMiddle    = 0.4  // correlation that speaks neither for nor against
	answerAfter    = 0.14 // seconds after the call's last note: nobody answers earlier
	leastActivity  = 0.12 // of a strong burst, at the notes: below it nobody claps
	hitEarns       = 1.5  // a note as strong as the answer's strong ones
	noteCosts      = 0.75 // every note of the answer, so that silent notes count against
	strayCosts     = 0.7  // a burst of the group as strong as a note where none is
	earlyCosts     = 1.4  // the same before the first note
	lookBack       = 1.2  // beats
	strayReach     = 0.1  // seconds: bursts closer to a note belong to it
	presenceEarns  = 3.0  // that there is clapping at all, in full from presenceFull of a strong burst
	presenceLeast  = 0.15
	presenceFull   = 0.5
	rivals         = 3    // places compared closely
	rivalApart     = 0.12 // seconds
)

// place is one position of an answer.
type place struct {
	delay, ratio float64
	fine         float64 // what time and tempo cost, negative
	match        float64
	score        float64
}

// seeker looks for one call's answer.
type seeker struct {
	f         *finder
	group     *activity
	steps     []float64 // of the notes
	length    float64   // steps of the phrase
	end       float64   // of the call, seconds
	step      float64   // of the call, seconds
	beat      float64   // seconds
	lastCall  float64   // the call's last attack
	habitUnit float64   // seconds
	times     []float64
	scratch   *scratch
}

func (f *finder) seek(p proposal, own *scratch) *seeker {
	s := &seeker{f: f, scratch: own, group: f.hands(p), length: float64(p.phrase.Steps()), step: p.call.StepSeconds, lastCall: math.Inf(-1)}
	for _, stroke := range p.phrase.Strokes() {
		s.steps = append(s.steps, float64(stroke.Step))
	}
	s.end = p.call.At(s.length)
	s.beat = p.call.BeatSeconds(p.phrase)
	s.habitUnit = f.habit.unit.length(p)
	for _, k := range p.matched {
		if k >= 0 {
			s.lastCall = max(s.lastCall, f.attacks[k].Time)
		}
	}
	s.times = make([]float64, len(s.steps))
	return s
}

// withAnswers gives the proposal in up to three readings: answered on the next bar, answered later, and not answered.
func (f *finder) withAnswers(p proposal, own *scratch) []proposal {
	out := make([]proposal, 0, 3)
	s := f.seek(p, own)
	if next, ok := s.answered(p, -answerEarly*s.beat, seamlessWithin*s.beat); ok {
		out = append(out, next)
	}
	if later, ok := s.answered(p, seamlessWithin*s.beat, answerWait); ok {
		out = append(out, later)
	}
	if !onlyBeats(p) && f.leaderBetween(s.end-0.05, s.end+straightOn*s.beat) > 0 {
		p.earned -= straightOnCosts
	}
	p.earned -= max(0, f.habit.answers)
	return append(out, p)
}

// A call is followed by an answer or by waiting. Beats alone may be a count-in and lead straight on.
const (
	straightOn      = 0.6 // of a beat
	straightOnCosts = 6.0
	goesOnCosts     = 1.5 // each stroke of the leader between a call and its answer
)

// leaderBetween counts the leader's strokes between two times.
func (f *finder) leaderBetween(from, to float64) int {
	n := 0
	for k := f.attackFrom(from); k < len(f.attacks) && f.attacks[k].Time < to; k++ {
		if f.leader.odds[k] > 1 && f.leader.sharp[k] > 0 {
			n++
		}
	}
	return n
}

// answered adds to the proposal the best answer that begins between two delays after the end of the call.
func (s *seeker) answered(p proposal, from, to float64) (proposal, bool) {
	best, ok := s.best(from, to)
	if !ok {
		return p, false
	}
	m := rhythm.TimeMap{Origin: s.end + best.delay, StepSeconds: s.step * best.ratio}
	answer := Answer{Map: m, Match: best.match}
	best.score -= s.f.soloAnswer(p, answer)
	if s.f.leader.known { // until then the group's own sharp claps look like the leader's
		from := s.lastCall + 0.05
		if len(p.matched) == 0 { // a repeat: no call before it
			from = s.end
		}
		best.score -= goesOnCosts * float64(s.f.leaderBetween(from, m.At(s.steps[0])-0.1))
	}
	if len(p.matched) > 0 {
		best.score += s.f.habit.answers
	}
	if best.score < 0 {
		return p, false
	}
	p.answer, p.answered = &answer, best.score
	p.from, p.to = m.At(s.steps[0]), m.At(s.length)
	p.end = p.to
	return p, true
}

// best finds the best place between two delays: by correlation first, the few best then note by note.
func (s *seeker) best(from, to float64) (place, bool) {
	var found []place
	delays := max(0, int((to-from)/delayStep+1e-9)+1)
	sweeps := s.sweeps(from, delays)
	least := math.Inf(-1)
	for k := range delays {
		delay := from + float64(k)*delayStep
		if s.group.average(s.end+delay-0.05, s.end+delay+max(0.4, 2*s.beat)) < 0.02 {
			continue // silence
		}
		waits := s.waits(delay)
		for _, w := range sweeps {
			p := place{delay: delay, ratio: w.ratio, fine: w.fine + waits}
			if w.height[k] < leastActivity*float64(len(s.steps)) || p.fine+2*matchEarns*(highestMatch-matchMiddle) <= least {
				continue
			}
			if s.score(&p, w.inner[k]) {
				found = keep(found, p)
				least = weakest(found)
			}
		}
	}
	best, ok := place{score: math.Inf(-1)}, false
	for _, p := range found {
		refined := p
		for _, d := range []float64{-0.02, -0.01, 0, 0.01, 0.02} {
			for _, r := range []float64{-ratioStep, -ratioStep / 2, 0, ratioStep / 2, ratioStep} {
				if q, fits := s.try(p.delay+d, p.ratio+r, refined.score); fits && q.score > refined.score {
					refined = q
				}
			}
		}
		refined.score = refined.fine + min(matchEarns*(refined.match-matchMiddle), matchEarns/2) + s.notes(refined)
		if refined.score > best.score {
			best, ok = refined, true
		}
	}
	return best, ok
}

// keep holds the best few places that are not the same place.
func keep(found []place, p place) []place {
	for i, q := range found {
		if math.Abs(q.delay-p.delay) < rivalApart {
			if p.score > q.score {
				found[i] = p
			}
			return found
		}
	}
	found = append(found, p)
	slices.SortStableFunc(found, func(a, b place) int { return cmp.Compare(b.score, a.score) })
	return found[:min(len(found), rivals)]
}

// weakest is the score that a place must beat to be kept.
func weakest(found []place) float64 {
	least := math.Inf(-1)
	if len(found) == rivals {
		least = found[0].score
		for _, p := range found[1:] {
			least = min(least, p.score)
		}
	}
	return least
}

func (s *seeker) lay(delay, ratio float64) rhythm.TimeMap {
	m := rhythm.TimeMap{Origin: s.end + delay, StepSeconds: s.step * ratio}
	for i, step := range s.steps {
		s.times[i] = m.At(step)
	}
	return m
}

// try scores a place by correlation; ok is false where nobody claps, and where the score can't be more than least.
func (s *seeker) try(delay, ratio, least float64) (place, bool) {
	p := place{delay: delay, ratio: ratio, fine: tempoOff(ratio) + s.waits(delay)}
	if p.fine+2*matchEarns*(highestMatch-matchMiddle) <= least {
		return p, false
	}
	s.lay(delay, ratio)
	inner, height := s.group.at(s.times)
	if height < leastActivity*float64(len(s.times)) {
		return p, false
	}
	return p, s.score(&p, inner)
}

// score fills in the match and the score of a place, where the activity at the notes sums up to inner; false where the answer would begin
// before the call is over or lie outside the recording.
func (s *seeker) score(p *place, inner float64) bool {
	m := rhythm.TimeMap{Origin: s.end + p.delay, StepSeconds: s.step * p.ratio}
	first, last := m.At(s.steps[0]), m.At(s.steps[len(s.steps)-1])
	if first < s.lastCall+answerAfter {
		return false
	}
	from, to := max(first-0.3*s.beat, s.lastCall+0.06), max(m.At(s.length)-0.1, last+0.15)+s.f.after(s.beat)
	var ok bool
	p.match, ok = s.group.correlation(inner, len(s.steps), from, to)
	p.score = p.fine + 2*matchEarns*(p.match-matchMiddle)
	return ok
}

// highestMatch is more than any correlation, also where pulses overlap a little.
const highestMatch = 1.1

// tempoOff is what a ratio of the answer's step to the call's costs, negative.
func tempoOff(ratio float64) float64 {
	off := math.Log(ratio) / ratioSD
	return -off * off / 2
}

// waits is what a delay costs, negative.
func (s *seeker) waits(delay float64) float64 {
	wait := waitCosts * max(0, delay)
	if delay <= seamlessWithin*s.beat {
		late := (delay - usualLag) / lateSD
		wait += min(late*late/2, lateMost)
	} else {
		whole := delay/s.beat - math.Round(delay/s.beat)
		wait += laterCosts + offBarCosts*min(1, math.Abs(whole)*4)
	}
	return -s.f.habit.costs(delay, s.habitUnit, wait)
}

// notes scores a place note by note: each should be clapped, and the group should clap nothing else.
func (s *seeker) notes(p place) float64 {
	m := s.lay(p.delay, p.ratio)
	to := max(m.At(s.length)-0.1, s.times[len(s.times)-1]+0.15) + s.f.after(s.beat)
	return s.group.noteByNote(s.times, max(s.times[0]-lookBack*s.beat, s.lastCall+0.1), to)
}

// noteByNote is what an answer with notes at the given times earns, if all that the group does between two times belongs to it.
func (c *activity) noteByNote(times []float64, from, to float64) float64 {
	heights := make([]float64, len(times))
	for i, t := range times {
		heights[i] = c.highest(t-0.03, t+0.03)
	}
	strong := slices.Sorted(slices.Values(heights))[len(heights)*3/4]
	if strong <= 0 {
		return math.Inf(-1)
	}
	score := presenceEarns * max(0, min(1, (strong-presenceLeast)/(presenceFull-presenceLeast)))
	for _, h := range heights {
		score += hitEarns*min(1, h/strong) - noteCosts
	}
	for i := sort.Search(len(c.peaks), func(i int) bool { return c.peaks[i].time >= from }); i < len(c.peaks) && c.peaks[i].time < to; i++ {
		k, _ := slices.BinarySearch(times, c.peaks[i].time)
		near := math.Inf(1)
		for _, j := range []int{k - 1, k} {
			if j >= 0 && j < len(times) {
				near = min(near, math.Abs(times[j]-c.peaks[i].time))
			}
		}
		if near > strayReach {
			cost := strayCosts
			if k == 0 {
				cost = earlyCosts
			}
			score -= cost * min(1, c.peaks[i].height/strong)
		}
	}
	return score
}

// after is how long after its bar an answer should be over, seconds. Whatever the group claps there does not fit. Only once the leader's
// strokes are taken out can be seen that it is the group.
func (f *finder) after(beat float64) float64 {
	if !f.leader.known {
		return 0
	}
	return 0.35 * beat
}
