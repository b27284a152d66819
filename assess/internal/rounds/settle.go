package rounds

import (
	"math"
	"slices"
)

// settle looks at the chosen rounds as a sequence: count-ins are dropped, and readings that the
// same claps allow are told apart by the running pulse.
func settle(chosen, all []proposal) []proposal {
	chosen = dropLonely(dropCountIns(chosen))
	for i := 1; i < len(chosen); i++ {
		if chosen[i].template >= 0 {
			chosen[i] = onPulse(chosen[i], chosen[i-1], all)
		}
	}
	return chosen
}

// dropCountIns removes unanswered calls of plain beats that lead straight into another call at the
// same tempo.
func dropCountIns(chosen []proposal) []proposal {
	var out []proposal
	for i, p := range chosen {
		if p.answer == nil && i+1 < len(chosen) && chosen[i+1].template >= 0 {
			next := chosen[i+1]
			beat := p.call.BeatSeconds(p.phrase)
			same := math.Abs(math.Log(next.call.BeatSeconds(next.phrase)/beat)) < countInTempo
			if same && next.call.Origin-p.end < countInWithin*beat && onlyBeats(p) {
				continue
			}
		}
		out = append(out, p)
	}
	return out
}

// dropLonely removes weak rounds where a recording has hardly any.
func dropLonely(chosen []proposal) []proposal {
	if answers(chosen) >= lonelyBelow {
		return chosen
	}
	return slices.DeleteFunc(chosen, func(p proposal) bool {
		return p.answer != nil &&
			p.total() < lonelyLeast
	})
}

// onlyBeats reports whether every stroke lies on a beat.
func onlyBeats(p proposal) bool {
	for _, s := range p.phrase.Strokes() {
		if p.phrase.BeatSteps()[p.phrase.BeatAt(s.Step)] != s.Step {
			return false
		}
	}
	return true
}

// onPulse replaces a round by another reading of the same attacks where only that one begins
// exactly where the round before ended.
func onPulse(p, before proposal, all []proposal) proposal {
	if math.Abs(p.call.Origin-before.barsOver()) < onThePulse*p.call.BeatSeconds(p.phrase) {
		return p
	}
	best := p
	for _, q := range all {
		if q.template < 0 || q.start != p.start || len(q.matched) != len(p.matched) ||
			(q.answer == nil) != (p.answer == nil) {
			continue
		}
		if q.matched[len(q.matched)-1] != p.matched[len(p.matched)-1] || q.total() < p.total()-equalReading {
			continue
		}
		onPulse := math.Abs(q.call.Origin-before.barsOver()) < onThePulse*q.call.BeatSeconds(q.phrase)
		if onPulse && (best.start != q.start || best.template == p.template || q.total() > best.total()) {
			best = q
		}
	}
	return best
}
