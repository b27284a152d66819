package rounds

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/activity"
	"clapladder.example/rhythm"
)

// place is one position of an answer.
type place struct {
	delay, ratio float64 // seconds after the end of the call; its step over the call's
	fine         float64 // what time and tempo cost, negative
	match        float64 // correlation of the activity with the pattern
	score        float64
}

// search looks for one call's answer.
type search struct {
	*pass
	group     *activity.Activity
	steps     []float64 // of the notes
	length    float64   // steps of the phrase
	end       float64   // of the call, seconds
	step      float64   // of the call, seconds
	beat      float64   // seconds
	lastCall  float64   // the call's last attack
	habitUnit float64   // seconds
	free      bool      // the call's bars are guessed: its answer says where they end
	times     []float64
	scratch   *scratch
}

// scratch is memory that searches use one after the other.
type scratch struct {
	sums  []float64
	near  activity.Near
	found [rivals + 1]place
}

func (p *pass) search(call proposal, own *scratch) *search {
	s := &search{
		pass: p, scratch: own, group: p.hands(call), length: float64(call.phrase.Steps()),
		step: call.call.StepSeconds, lastCall: math.Inf(-1), free: call.guessed,
	}
	for _, stroke := range call.phrase.Strokes() {
		s.steps = append(s.steps, float64(stroke.Step))
	}
	s.end = call.call.At(s.length)
	s.beat = call.call.BeatSeconds(call.phrase)
	s.habitUnit = p.habit.unit.length(call)
	for _, k := range call.met() {
		s.lastCall = max(s.lastCall, p.attacks[k].Time)
	}
	s.times = make([]float64, len(s.steps))
	return s
}

// withAnswers gives the call in up to three readings: answered on the next bar, answered later, and
// not answered.
func (p *pass) withAnswers(call proposal, own *scratch) []proposal {
	out := make([]proposal, 0, 3)
	s := p.search(call, own)
	if call.guessed {
		early := s.lastCall + answerAfter - s.end - s.step*s.steps[0]
		if answered, ok := s.answered(call, early, answerWait); ok {
			out = append(out, answered)
		}
		call.earned -= max(0, p.habit.answers)
		return append(out, call)
	}
	if next, ok := s.answered(call, -answerEarly*s.beat, seamlessWithin*s.beat); ok {
		out = append(out, next)
	}
	if later, ok := s.answered(call, seamlessWithin*s.beat, answerWait); ok {
		out = append(out, later)
	}
	// A call is followed by an answer or by waiting. Beats alone may be a count-in and lead
	// straight on.
	if !onlyBeats(call) && p.leaderStrokes(s.end-0.05, s.end+straightOn*s.beat) > 0 {
		call.earned -= straightOnCosts
	}
	call.earned -= max(0, p.habit.answers)
	return append(out, call)
}

// leaderStrokes counts the leader's strokes between two times.
func (p *pass) leaderStrokes(from, to float64) int {
	n := 0
	for k := p.attackFrom(from); k < len(p.attacks) && p.attacks[k].Time < to; k++ {
		if p.leader.odds[k] > 1 && p.single[k] > 0 {
			n++
		}
	}
	return n
}

// answered adds to the call the best answer that begins between two delays after its end.
func (s *search) answered(call proposal, from, to float64) (proposal, bool) {
	best, ok := s.best(from, to)
	if !ok {
		return call, false
	}
	m := s.lay(best)
	answer := Answer{Map: m, Match: best.match}
	best.score -= s.leaderAnswers(call, answer)
	if s.leader.known { // until then the group's own sharp claps look like the leader's
		from := s.lastCall + 0.05
		if len(call.matched) == 0 { // a repeat: no call before it
			from = s.end
		}
		best.score -= goesOnCosts * float64(s.leaderStrokes(from, m.At(s.steps[0])-goesOnUntil))
	}
	if len(call.matched) > 0 {
		best.score += s.habit.answers
	}
	if best.score < 0 {
		return call, false
	}
	call.answer, call.answered = &answer, best.score
	call.from, call.to = m.At(s.steps[0]), m.At(s.length)
	call.end = call.answerOver()
	return call, true
}

// best finds the best place between two delays: by correlation first, the few best then note by
// note.
func (s *search) best(from, to float64) (place, bool) {
	best, ok := place{score: math.Inf(-1)}, false
	for _, p := range s.coarse(from, to) {
		p = s.refined(p)
		p.score = p.fine + min(matchEarns*(p.match-matchEven), matchEarns/2) + s.notes(p)
		if p.score > best.score {
			best, ok = p, true
		}
	}
	return best, ok
}

// coarse lists the few best places on a grid of delays and tempos, by correlation.
func (s *search) coarse(from, to float64) []place {
	found := s.scratch.found[:0]
	delays := max(0, int((to-from)/delayStep+1e-9)+1)
	s.near().Cover(s.group, s.end+from-s.beat, s.end+to+2*s.length*s.step)
	sweeps := s.sweeps(from, delays)
	least := math.Inf(-1)
	for k := range delays {
		delay := from + float64(k)*delayStep
		if s.near().Average(s.end+delay-0.05, s.end+delay+max(0.4, 2*s.beat)) < 0.02 {
			continue // silence
		}
		waits := s.waitCosts(delay)
		for i := range sweeps {
			w := &sweeps[i]
			p := place{delay: delay, ratio: w.ratio, fine: w.fine - waits}
			if s.scored(&p, w.reach, least, w.inner[k], w.height[k]) {
				found = keep(found, p)
				least = weakest(found)
			}
		}
	}
	return found
}

// near is the group's activity summed up, where the search looks.
func (s *search) near() *activity.Near { return &s.scratch.near }

// refined is the best place near p.
func (s *search) refined(p place) place {
	best := p
	for _, d := range [...]float64{-0.02, -0.01, 0, 0.01, 0.02} {
		for _, r := range [...]float64{-ratioStep, -ratioStep / 2, 0, ratioStep / 2, ratioStep} {
			q := place{delay: p.delay + d, ratio: p.ratio + r}
			q.fine = -ratioCosts(q.ratio) - s.waitCosts(q.delay)
			s.lay(q)
			inner, height := s.near().At(s.times)
			if s.scored(&q, s.reach(q.ratio), best.score, inner, height) {
				best = q
			}
		}
	}
	return best
}

// reach is where an answer's notes lie, in seconds after the start of its first bar.
type reach struct{ first, last, end float64 }

func (s *search) reach(ratio float64) reach {
	step := s.step * ratio
	return reach{s.steps[0] * step, s.steps[len(s.steps)-1] * step, s.length * step}
}

// scored fills in the match and the score of a place, where the activity at the notes sums up to
// inner and height. It is false where nobody claps, where the score is not more than least, and
// where the answer would begin before the call is over or lie outside the recording.
func (s *search) scored(p *place, at reach, least, inner, height float64) bool {
	needed := (least-p.fine)/(2*matchEarns) + matchEven // the correlation that gives least
	if needed >= highestMatch || height < leastActivity*float64(len(s.steps)) {
		return false
	}
	start := s.end + p.delay
	first, last := start+at.first, start+at.last
	if first < s.lastCall+answerAfter {
		return false
	}
	from := max(first-0.3*s.beat, s.lastCall+0.06)
	to := max(start+at.end-0.1, last+0.15) + s.after()
	var ok bool
	p.match, ok = s.near().Correlation(inner, len(s.steps), from, to, needed)
	p.score = p.fine + 2*matchEarns*(p.match-matchEven)
	return ok && p.score > least
}

// keep holds the best few places that are not the same place, best first.
func keep(found []place, p place) []place {
	at := slices.IndexFunc(found, func(q place) bool { return math.Abs(q.delay-p.delay) < rivalApart })
	switch {
	case at < 0:
		at, found = len(found), append(found, p)
	case p.score > found[at].score:
		found[at] = p
	}
	for ; at > 0 && found[at].score > found[at-1].score; at-- {
		found[at], found[at-1] = found[at-1], found[at]
	}
	return found[:min(len(found), rivals)]
}

// weakest is the score that a place must beat to be kept.
func weakest(found []place) float64 {
	if len(found) < rivals {
		return math.Inf(-1)
	}
	return found[rivals-1].score
}

func (s *search) mapAt(p place) rhythm.TimeMap {
	return rhythm.TimeMap{Origin: s.end + p.delay, StepSeconds: s.step * p.ratio}
}

// lay is the place's map, and puts the times of its notes into s.times.
func (s *search) lay(p place) rhythm.TimeMap {
	m := s.mapAt(p)
	for i, step := range s.steps {
		s.times[i] = m.At(step)
	}
	return m
}

// ratioCosts is what a ratio of the answer's step to the call's costs.
func ratioCosts(ratio float64) float64 {
	off := math.Log(ratio) / ratioSD
	return off * off / 2
}

// waitCosts is what a delay costs.
func (s *search) waitCosts(delay float64) float64 {
	cost := waitSecondCosts * max(0, delay)
	if s.free {
		off := (delay - math.Round(delay/s.beat)*s.beat - usualLag) / lateSD
		cost += min(off*off/2, freeOffBeat)
		if delay < -answerEarly*s.beat {
			cost += freeEarly
		}
		if s.end+delay+s.step*s.steps[0] < s.lastCall+freeSoon {
			cost += freeSoonCosts
		}
		return cost
	}
	if delay <= seamlessWithin*s.beat {
		late := (delay - usualLag) / lateSD
		cost += min(late*late/2, lateMost)
	} else {
		whole := delay/s.beat - math.Round(delay/s.beat)
		cost += laterCosts + offBarCosts*min(1, math.Abs(whole)*4)
	}
	return s.habit.costs(delay, s.habitUnit, cost)
}

// notes scores a place note by note: each should be clapped, and the group should clap nothing
// else.
func (s *search) notes(p place) float64 {
	m := s.lay(p)
	to := max(m.At(s.length)-0.1, s.times[len(s.times)-1]+0.15) + s.after()
	return noteByNote(s.group, s.times, max(s.times[0]-lookBack*s.beat, s.lastCall+0.1), to)
}

// after is how long after its bar an answer should be over, seconds. Whatever the group claps there
// does not fit. Only once the leader's strokes are taken out can be seen that it is the group.
func (s *search) after() float64 {
	if !s.leader.known {
		return 0
	}
	return answerOver * s.beat
}

// sweep is the activity at an answer's notes for one tempo, by delay.
type sweep struct {
	ratio  float64
	reach  reach
	fine   float64   // what the tempo costs, negative
	inner  []float64 // sum over the notes, of the curve smoothed once more
	height []float64 // the same of the curve itself
}

// sweeps walks along the activity with the answer's notes, from a delay on in steps of delayStep,
// once for each tempo. They are good until the next call.
func (s *search) sweeps(from float64, delays int) []sweep {
	ratios := int(math.Round((ratioHigh-ratioLow)/(2*ratioStep))) + 1
	s.scratch.sums = slices.Grow(s.scratch.sums[:0], 2*ratios*delays)
	sums := s.scratch.sums[:2*ratios*delays]
	clear(sums)
	out := make([]sweep, ratios)
	for i := range out {
		ratio := ratioLow + float64(i)*2*ratioStep
		out[i] = sweep{
			ratio: ratio, reach: s.reach(ratio), fine: -ratioCosts(ratio),
			inner: sums[:delays], height: sums[delays : 2*delays],
		}
		sums = sums[2*delays:]
		for _, step := range s.steps {
			s.near().Along(out[i].inner, out[i].height, s.end+from+s.step*ratio*step)
		}
	}
	return out
}
