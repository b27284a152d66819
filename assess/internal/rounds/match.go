package rounds

import (
	"cmp"
	"math"
	"slices"

	"clapladder.example/assess/internal/activity"
	"clapladder.example/assess/internal/transcribe"
)

// How far a call may be from its phrase's own tempo, as natural logarithms.
var logSlowest, logFastest = math.Log(transcribe.Slowest), math.Log(transcribe.Fastest)

// matcher lays the templates on the attacks, from one attack on to each that may be the last note.
// It keeps the best keepPerStart templates, and gives up a prefix as soon as none of its templates
// can become one of them; so the result is that of trying every template.
type matcher struct {
	*pass
	worth worth
	best  []proposal // in falling order of what they earn, equals in the order of the templates

	first, last         int     // attacks
	seconds, logSeconds float64 // between them
	reach               float64 // seconds: how far an attack may be from a note
	matched             [mostNotes]int
	near                activity.Near // of everyone's claps
	// By attack after the first, summed up: the least that attacks cost which no note meets, and
	// the most that attacks bring, as note or not.
	passed, brought []float64
}

// worth is what attacks earn as notes and cost as strays.
type worth struct {
	note []float64 // of each attack, as a note on time
	own  []float64 // of each attack, how likely it is the leader's
}

func newWorth(p *pass) worth {
	w := worth{make([]float64, len(p.attacks)), make([]float64, len(p.attacks))}
	for k, odds := range p.leader.odds {
		w.note[k] = p.noteWorth(k)
		w.own[k] = 1 / (1 + math.Exp(-odds))
	}
	return w
}

func newMatcher(p *pass, worth worth) matcher {
	return matcher{pass: p, worth: worth, near: activity.NewNear(&p.everyone.clap.Activity)}
}

// from finds the best templates whose first note is attack i. The result is good until the next
// call.
func (m *matcher) from(i int) []proposal {
	m.best, m.first, m.matched[0] = m.best[:0], i, i
	attacks := m.attacks
	m.near.Cover(&m.everyone.clap.Activity, attacks[i].Time-1, attacks[i].Time+m.longest+1)
	for m.last = i + 1; m.last < len(attacks); m.last++ {
		m.seconds = attacks[m.last].Time - attacks[i].Time
		if m.seconds > m.longest {
			break
		}
		if !m.mayBound(m.last) || m.seconds < shortestSecond {
			continue
		}
		m.logSeconds = math.Log(m.seconds)
		m.sumUp()
		for _, root := range m.tree.roots {
			if root.closest*m.seconds < shortestSecond {
				continue
			}
			m.reach = min(max(matchShare*root.closest*m.seconds, shortestMatch), longestMatch)
			m.walk(root, 0, i, m.worth.note[i], 0)
		}
	}
	return m.best
}

// mayBound reports whether an attack may be a call's first or last note. A stroke as loud as the
// leader's that sounds like somebody else's may: the answer before often ends on the first stroke of
// a call, and somebody claps along with the last.
func (p *pass) mayBound(k int) bool {
	return p.leader.odds[k] >= firstNoteOdds ||
		p.leader.known && p.single[k] >= 0 && p.level[k] >= p.leader.loud-coveredBelow
}

// sumUp prepares what the attacks between the first and the last can bring at most.
func (m *matcher) sumUp() {
	loudest := math.Inf(-1)
	for k := m.first; k <= m.last; k++ {
		loudest = max(loudest, m.level[k])
	}
	m.passed, m.brought = append(m.passed[:0], 0), append(m.brought[:0], 0)
	for k := m.first + 1; k <= m.last; k++ {
		cost := m.strayCost(m.worth.own[k], m.level[k]-loudest, false)
		n := len(m.passed) - 1
		m.passed = append(m.passed, m.passed[n]+cost)
		m.brought = append(m.brought, m.brought[n]+max(m.worth.note[k], -cost))
	}
}

// walk goes on from a prefix whose last note is note n (counted from 0): last met is the attack met
// before, earned what the notes earned, and owed the least that the attacks between them cost.
func (m *matcher) walk(p *prefix, n, met int, earned, owed float64) {
	for _, t := range p.whole {
		m.finish(t, earned)
	}
	start := m.attacks[m.first].Time
	for _, next := range p.next {
		if next.spans.low-m.logSeconds > logFastest || m.logSeconds-next.spans.high > -logSlowest {
			continue
		}
		earned, owed, met := earned, owed, met
		at := start + next.at*m.seconds
		k := min(m.nearest.Index(at, m.reach), m.last)
		if k <= met {
			m.matched[n+1] = -1
			earned -= m.missing(&m.near, at)
		} else {
			late := (m.attacks[k].Time - at) / timingSD
			earned += m.worth.note[k] - min(late*late/2, timingMost)
			owed += m.passed[k-1-m.first] - m.passed[met-m.first]
			m.matched[n+1], met = k, k
		}
		if m.mayEarn(next, met, earned-owed, m.least()) {
			m.walk(next, n+1, met, earned, owed)
		}
	}
}

// mayEarn reports whether a template that begins like p can earn at least so much.
func (m *matcher) mayEarn(p *prefix, met int, earned, least float64) bool {
	ahead := m.last - met // attacks
	most := min(float64(p.most)*(noteEarns+1), m.brought[m.last-m.first]-m.brought[met-m.first])
	upper := earned + most - noteMasked*float64(max(0, p.fewest-ahead))
	return upper >= least && upper-m.tempoCosts(p.expected.off(m.logSeconds)) >= least
}

// least is what a template must earn to be kept.
func (m *matcher) least() float64 {
	if len(m.best) == keepPerStart {
		return m.best[keepPerStart-1].earned
	}
	return leastCall
}

// finish settles what a template earns of which all notes were laid.
func (m *matcher) finish(t *template, earned float64) {
	off := m.logSeconds - t.logSpan
	if off < -logFastest || off > -logSlowest {
		return
	}
	matched := m.matched[:len(t.shares)]
	if matched[0] < 0 || len(matched) < 2 {
		return
	}
	level := m.callLevel(matched)
	earned -= m.tempoCosts(m.logSeconds - t.expected)
	if t.silentStart {
		earned -= transcribe.SilentStart
	}
	earned -= m.levelCosts(level)
	if earned < m.least() {
		return
	}
	earned -= m.uneven(t, matched) + m.strays(t, matched, level)
	m.keep(t, earned, matched)
}

// callLevel is the mean level of a call's strokes, dB: of its claps where it has stamps or pats
// too.
func (r *recording) callLevel(matched []int) float64 {
	var sum, n [2]float64
	for _, k := range matched {
		if k >= 0 {
			i := kind(r.attacks[k])
			sum[i], n[i] = sum[i]+r.level[k], n[i]+1
		}
	}
	if n[0] > 0 {
		return sum[0] / n[0]
	}
	return sum[1] / n[1]
}

// levelCosts is what it costs that a call is this loud, dB, compared with the leader's others.
func (p *pass) levelCosts(level float64) float64 {
	if !p.leader.known {
		return 0
	}
	off := (level - p.leader.loud) / callLevelSD
	return min(off*off/2, callLevelMost)
}

// keep puts a template in its place among the best, once.
func (m *matcher) keep(t *template, earned float64, matched []int) {
	had := slices.IndexFunc(m.best, func(p proposal) bool { return p.template == t.index })
	switch {
	case had >= 0 && m.best[had].earned >= earned, had < 0 && earned <= leastCall:
		return
	case had >= 0:
		m.best = slices.Delete(m.best, had, had+1)
	}
	at, _ := slices.BinarySearchFunc(m.best, proposal{template: t.index, earned: earned},
		func(a, b proposal) int {
			return cmp.Or(cmp.Compare(b.earned, a.earned), cmp.Compare(a.template, b.template))
		})
	if at == keepPerStart {
		return
	}
	if len(m.best) == keepPerStart {
		m.best = m.best[:keepPerStart-1]
	}
	m.best = slices.Insert(m.best, at, proposal{
		template: t.index, phrase: t.phrase, earned: earned, matched: slices.Clone(matched),
	})
}

// strays is what attacks between the notes cost: from the first note on, and after the last until
// shortly before the bar ends, where the group may come in early.
func (m *matcher) strays(t *template, matched []int, level float64) float64 {
	start, ratio := m.attacks[m.first].Time, m.seconds/t.span
	end := start + max(t.span*ratio+0.02, t.rest*ratio-max(0.13, 0.25*t.shortest*ratio))
	cost := 0.0
	next := 0
	for k := m.first + 1; k < len(m.attacks) && m.attacks[k].Time < end; k++ {
		for next < len(matched) && matched[next] < k {
			next++
		}
		if next < len(matched) && matched[next] == k {
			continue
		}
		cost += m.strayCost(m.worth.own[k], m.level[k]-level, k > m.last)
	}
	return cost
}

// straysWithin is what attacks cost between the first and the last of those that notes met.
func (m *matcher) straysWithin(matched []int, level float64) float64 {
	cost, next := 0.0, 0
	for k := m.first; k < m.last; k++ {
		if matched[next] == k {
			next++
			continue
		}
		cost += m.strayCost(m.worth.own[k], m.level[k]-level, false)
	}
	return cost
}
