package rounds

import (
	"math"
	"slices"

	"clapladder.example/rhythm"
)

// A leader now and then claps a phrase of the bank with a stroke more, a stroke less, or one in
// another place. That is a rhythm of its own and is written down as it was clapped; only metre,
// bars and tempo are those of the phrase, and so it is likelier than any other rhythm.

// variation is a call of the bank as it was clapped, where that is its phrase but for one stroke.
func (m *matcher) variation(c proposal) (proposal, bool) {
	missing, spare, ok := m.difference(c)
	if !ok {
		return c, false
	}
	out := c
	out.template = -1
	fine, cost := 1, variationCosts
	var added rhythm.Stroke
	if spare >= 0 {
		var misfit float64
		if added, fine, misfit, ok = m.between(c, spare); !ok {
			return c, false
		}
		cost += misfit - m.worth.note[spare]
		cost -= m.strayCost(m.worth.own[spare], m.level[spare]-m.callLevel(c.matched), false)
	}
	strokes := make([]rhythm.Stroke, 0, len(c.matched)+1)
	out.matched = make([]int, 0, len(c.matched)+1)
	for n, s := range c.phrase.Strokes() {
		if n == missing {
			cost -= m.missing(&m.near, c.call.At(float64(s.Step)))
			continue
		}
		s.Step *= fine
		strokes = append(strokes, s)
		out.matched = append(out.matched, c.matched[n])
	}
	if spare >= 0 {
		at, _ := slices.BinarySearchFunc(strokes, added.Step, func(s rhythm.Stroke, step int) int {
			return s.Step - step
		})
		strokes = slices.Insert(strokes, at, added)
		out.matched = slices.Insert(out.matched, at, spare)
	}
	if missing >= 0 && spare >= 0 {
		cost += movedCosts
	}
	phrase, err := rhythm.New(c.phrase.Meter(), c.phrase.Tempo(), c.phrase.Bars(),
		fine*c.phrase.StepsPerQuarter(), strokes)
	if err != nil || len(strokes) < freeLeast {
		return c, false
	}
	out.phrase = phrase
	out.earned -= cost
	return m.timed(out), out.earned > leastCall
}

// difference is the one note of a call that no attack meets and the one stroke of the leader's
// between its notes, -1 for none; ok is false where there is neither, or more than one of either.
func (m *matcher) difference(c proposal) (missing, spare int, ok bool) {
	missing, spare = -1, -1
	last := c.matched[0]
	for n, k := range c.matched {
		if k < 0 {
			if missing >= 0 {
				return 0, 0, false
			}
			missing = n
			continue
		}
		for between := last + 1; between < k; between++ {
			if m.leader.odds[between] < freeSure {
				continue
			}
			if spare >= 0 {
				return 0, 0, false
			}
			spare = between
		}
		last = k
	}
	return missing, spare, missing >= 0 || spare >= 0
}

// between is the stroke that an attack is between the notes of a call: on the phrase's steps made
// so many times as fine, and what it costs that it lies off its place or that they are finer.
func (m *matcher) between(c proposal, attack int) (s rhythm.Stroke, fine int, cost float64, ok bool) {
	at := (m.attacks[attack].Time - c.call.Origin) / c.call.StepSeconds
	cost = math.Inf(1)
	for f := 1; f <= 4; f++ {
		step := math.Round(at * float64(f))
		late := (at - step/float64(f)) * c.call.StepSeconds / timingSD
		now := min(late*late/2, timingMost) + finerCosts*float64(f-1)
		if now < cost && !taken(c.phrase, int(step), f) {
			s.Step, fine, cost, ok = int(step), f, now, true
		}
	}
	return s, fine, cost, ok
}

// taken reports whether a stroke of the phrase lies on a step of the phrase made so many times as
// fine, or the step lies outside the phrase.
func taken(p rhythm.Phrase, step, fine int) bool {
	return step < 0 || step >= p.Steps()*fine ||
		slices.ContainsFunc(p.Strokes(), func(s rhythm.Stroke) bool { return s.Step*fine == step })
}

// variations adds those of the calls of the bank that begin at one attack.
func (w *proposer) variations(all, calls []proposal) []proposal {
	if !w.leader.known {
		return all
	}
	for _, call := range calls {
		w.matcher.first = call.matched[0]
		if varied, ok := w.matcher.variation(call); ok {
			all = append(all, w.withAnswers(varied, &w.scratch)...)
		}
	}
	return all
}
