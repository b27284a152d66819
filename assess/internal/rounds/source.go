package rounds

import (
	"math"

	"clapladder.example/assess/internal/robust"
	"clapladder.example/rhythm"
)

// Whose strokes an answer is made of: one person's, which may be the leader's own next strokes, or
// many people's.

// oneSource reports whether attacks sound like strokes of one person: nearly all as sharp as a
// single source, and concentrated.
func (r *recording) oneSource(attacks []int) bool {
	sharp, concentration := 0.0, 0.0
	for _, k := range attacks {
		concentration += r.attacks[k].Concentration
		if r.single[k] > sharpOdds {
			sharp++
		}
	}
	all := float64(len(attacks))
	return sharp > soloSharp*all && concentration > soloDense*all
}

// onePerson reports whether all answers together sound like those of one person.
func (r *recording) onePerson(found []Round) bool {
	met := r.answerAttacks(found)
	return len(met) >= soloLeast && r.oneSource(met)
}

// leaderGoesOn reports whether the answers are the leader's own next strokes: one person's, and
// either few of the calls have one, or they meet few of their notes.
func (r *recording) leaderGoesOn(found []Round) bool {
	answers, notes := 0, 0
	for _, round := range found {
		if round.Answer != nil {
			answers, notes = answers+1, notes+len(round.Call.Phrase.Strokes())
		}
	}
	met := r.answerAttacks(found)
	few := float64(answers) < soloAnswers*float64(len(found)) ||
		float64(len(met)) < soloMet*float64(notes)
	return len(met) > 0 && few && r.oneSource(met)
}

// nobodyAnswers reports whether the answers are the leader's own next strokes: where a leader calls
// and nobody claps, those now and then fit as an answer, but seldom, or never well.
func nobodyAnswers(chosen []proposal) bool {
	var matches []float64
	calls := 0
	for _, p := range chosen {
		if p.answer != nil {
			matches = append(matches, p.answer.Match)
		} else {
			calls++
		}
	}
	if len(matches) == 0 {
		return false
	}
	return robust.Median(matches) < poorMatch ||
		len(matches) <= rareAnswers && calls >= rareAmong*len(matches)
}

// leaderAnswers is what it costs that one answer sounds like the leader: then it is the next call,
// or practising. As long as the leader's sound is not known, an answer is compared with its own
// call: one pupil's claps are as sharp as the leader's, but not as loud or of the same colour.
func (p *pass) leaderAnswers(call proposal, a Answer) float64 {
	cost, sharp := 0.0, 0
	strokes := call.phrase.Strokes()
	for _, s := range strokes {
		k := p.nearest.Index(a.Map.At(float64(s.Step)), leaderReach)
		if k < 0 {
			continue
		}
		odds := p.leader.odds[k]
		if p.single[k] > sharpOdds && (!p.leader.known || odds > othersOdds) {
			sharp++
		}
		if !p.leader.known {
			odds = min(odds, p.sameSource(call.met(), k))
		}
		cost += leaderNoteCosts * max(-0.3, min(odds, 2))
	}
	cost = max(0, cost)
	if float64(sharp) > sharpShare*float64(len(strokes)) {
		cost += onePersonCosts
	}
	return cost
}

// sameSource is the log odds that attack k comes from the source of the given attacks.
func (r *recording) sameSource(own []int, k int) float64 {
	if len(own) == 0 {
		return 0
	}
	var level, colour, thump float64
	for _, i := range own {
		level, colour, thump = level+r.level[i], colour+r.attacks[i].Colour, thump+r.attacks[i].Thump
	}
	n := float64(len(own))
	a := (r.level[k] - level/n) / sourceLevelSD
	b := (r.attacks[k].Colour - colour/n) / sourceColourSD
	c := (r.attacks[k].Thump - thump/n) / sourceThumpSD
	return 2 - (a*a+b*b+c*c)/2
}

// answerAttacks lists the attacks that meet notes of the answers.
func (r *recording) answerAttacks(found []Round) []int {
	var out []int
	for _, round := range found {
		if round.Answer == nil {
			continue
		}
		for _, s := range round.Call.Phrase.Strokes() {
			if k := r.nearest.Index(round.Answer.Map.At(float64(s.Step)), soloReach); k >= 0 {
				out = append(out, k)
			}
		}
	}
	return out
}

// withStrokes are the rounds with the strokes of the one person who answers.
func (r *recording) withStrokes(found []Round) []Round {
	var levels []float64
	for _, k := range r.answerAttacks(found) {
		levels = append(levels, r.level[k])
	}
	if len(levels) == 0 {
		return found
	}
	least := robust.Median(levels) - soloQuiet
	for i := range found {
		if found[i].Answer == nil {
			continue
		}
		strokes := []float64{}
		from, to := soloWindow(found, i)
		for k := r.attackFrom(from); k < len(r.attacks) && r.attacks[k].Time < to; k++ {
			if r.single[k] > soloOdds && r.level[k] > least {
				strokes = append(strokes, r.attacks[k].Time)
			}
		}
		found[i].Answer.Solo = strokes
	}
	return found
}

// soloWindow is where the strokes of answer i may lie: around its bars, but after its call and the
// answer before, and before the next call.
func soloWindow(found []Round, i int) (from, to float64) {
	phrase, m := found[i].Call.Phrase, found[i].Answer.Map
	beat := m.BeatSeconds(phrase)
	from = m.At(float64(phrase.Strokes()[0].Step)) - lookBack*beat
	to = m.At(float64(phrase.Steps())) + soloLate*beat
	if onsets := found[i].Call.Onsets; len(onsets) > 0 {
		from = max(from, onsets[len(onsets)-1]+answerAfter)
	}
	if i > 0 && found[i-1].Answer != nil {
		before := found[i-1]
		from = max(from, before.Answer.Map.At(float64(before.Call.Phrase.Steps()))-soloReach)
	}
	if i+1 < len(found) {
		to = min(to, found[i+1].Start()-soloReach)
	}
	return from, to
}

// leaderWithin are the leader's strokes on the notes of an answer, and whether there are so many
// that the leader plays it too; nil where not.
func (p *pass) leaderWithin(a Answer, phrase rhythm.Phrase) (times []float64, along bool) {
	strokes := phrase.Strokes()
	last := math.Inf(-1)
	for _, s := range strokes {
		at := a.Map.At(float64(s.Step))
		for k := p.attackFrom(at - alongReach); k < len(p.attacks); k++ {
			t := p.attacks[k].Time
			if t >= at+alongReach {
				break
			}
			if t > last && p.leader.share(k) > alongLeast && math.Abs(t-at) < alongReach {
				times = append(times, t)
				last = t
				break
			}
		}
	}
	if float64(len(times)) < alongShare*float64(len(strokes)) {
		return nil, false
	}
	return times, true
}
