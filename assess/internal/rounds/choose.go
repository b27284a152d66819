package rounds

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// choose selects the rounds that do not overlap and earn most together, by weighted interval
// scheduling.
func (p *pass) choose(all []proposal, c constraints) []proposal {
	var usable []proposal
	for _, q := range all {
		q.earned += c.earned(q, p.attacks[q.met()[0]].Time)
		if p.believed(q, 0) {
			usable = append(usable, q)
		}
	}
	slices.SortStableFunc(usable, func(a, b proposal) int { return cmp.Compare(a.end, b.end) })
	before := make([]int, len(usable)) // how many proposals end before this one begins
	for i, p := range usable {
		before[i] = sort.Search(i, func(k int) bool { return usable[k].end > p.start+earlyNext })
	}
	if len(c.order) > 0 {
		return chooseInOrder(usable, before, c.order)
	}
	return p.chooseFreely(usable, before)
}

// chain is the best set of proposals that ends with one of them.
type chain struct {
	value  float64
	last   int     // proposal, -1: none
	before int     // the last of the chain that it goes on from, -1: none
	costs  float64 // of strokes before its call
}

// chooseFreely takes the best set of proposals, in order of their ends. Strokes shortly before a
// call cost nothing where they belong to the answer before.
func (p *pass) chooseFreely(usable []proposal, before []int) []proposal {
	n := len(usable)
	with := make([]chain, n)   // with[i] ends with proposal i
	best := make([]chain, n+1) // best[i] is the best of the first i
	best[0].last = -1
	for i, q := range usable {
		worth := q.total() - threshold(q) + p.explains(q)
		costs := p.before(q, span{})
		from := best[before[i]]
		with[i] = chain{from.value + worth - costs, i, from.last, costs}
		for k := before[i] - 1; k >= 0 && costs > 0 && usable[k].end > q.start-startAfter; k-- {
			if usable[k].answer == nil || with[k].value+worth <= with[i].value {
				continue
			}
			costs := p.before(q, answerOf(usable[k]))
			if value := with[k].value + worth - costs; value > with[i].value {
				with[i] = chain{value, i, k, costs}
			}
		}
		best[i+1] = best[i]
		if with[i].value > best[i].value && p.believed(q, with[i].costs) {
			best[i+1] = with[i]
		}
	}
	var chosen []proposal
	for i := best[n].last; i >= 0; i = with[i].before {
		usable[i].earned -= with[i].costs
		chosen = append(chosen, usable[i])
	}
	slices.Reverse(chosen)
	return chosen
}

// explains is what a call is worth for the strokes of the leader's that are its notes or counted it
// in, beside what it earns: a reading that leaves out a strong stroke leaves it without a reason.
// What the leader sounds like is not learnt so, or everything that sounds a little like it would be
// drawn in.
func (p *pass) explains(c proposal) float64 {
	if !p.leader.known || !p.final {
		return 0
	}
	sum := 0.0
	met := c.met()
	for k := p.attackFrom(c.start - sameStroke); k < met[0]; k++ { // a count-in
		sum += p.ours(k)
	}
	for _, k := range met {
		sum += p.ours(k)
	}
	return strokeExplained * sum
}

// ours is how far an attack is the leader's and must have a reason, 0 to 1.
func (p *pass) ours(k int) float64 {
	return max(0, 2/(1+math.Exp(-p.leader.odds[k]))-1)
}

// before is what strokes of the leader's shortly before a call cost, but for those in a span that
// is accounted for: a call begins after a pause, or after a count-in, which earns as much.
func (p *pass) before(c proposal, known span) float64 {
	if !p.leader.known {
		return 0
	}
	level := p.callLevel(c.matched)
	first := c.matched[0]
	cost, start := 0.0, p.attacks[first].Time
	for k := first - 1; k >= 0 && start-p.attacks[k].Time < startAfter; k-- {
		if t := p.attacks[k].Time; t >= known.from && t < known.to {
			continue
		}
		cost = max(cost, beforeCosts*p.ours(k)/(1+math.Exp(-(p.level[k]-level-strayHalf)/2)))
	}
	return cost
}

// span is from one time to another, seconds.
type span struct{ from, to float64 }

// answerOf is the span of a proposal's answer and its latest claps.
func answerOf(p proposal) span { return span{p.from - lateClap, p.to + lateClap} }

// believed reports whether a round earns enough, after the given costs, with what its strokes
// explain.
func (p *pass) believed(q proposal, costs float64) bool {
	return q.total()-costs+p.explains(q) >= least(q)
}

// least is what a round must earn to be believed.
func least(p proposal) float64 {
	if p.answer != nil {
		return leastAnswered
	}
	return leastUnanswered
}

// threshold is charged for every round, so that one long phrase beats two accidental short ones.
func threshold(p proposal) float64 { return least(p) / 2 }

// chooseInOrder is chooseFreely with one more dimension: how much of the order is done.
func chooseInOrder(usable []proposal, before, order []int) []proposal {
	n, m := len(usable), len(order)
	type cell struct {
		value float64
		taken bool
		from  int // order position before this proposal
	}
	best := make([][]cell, n+1)
	for i := range best {
		best[i] = make([]cell, m+1)
	}
	for j := 1; j <= m; j++ {
		best[0][j].value = -orderSkipped * float64(j)
	}
	for i, p := range usable {
		for j := 0; j <= m; j++ {
			best[i+1][j] = cell{value: best[i][j].value, from: j}
			worth := p.total() - threshold(p)
			consider := func(from int, value float64) {
				if value > best[i+1][j].value {
					best[i+1][j] = cell{value, true, from}
				}
			}
			consider(j, best[before[i]][j].value+worth-orderBroken)
			if j > 0 && p.template >= 0 && order[j-1] == p.template {
				consider(j-1, best[before[i]][j-1].value+worth)
				consider(j, best[before[i]][j].value+worth-1) // called once more
			}
		}
		for j := 1; j <= m; j++ { // leave out a phrase of the order
			if v := best[i+1][j-1].value - orderSkipped; v > best[i+1][j].value {
				best[i+1][j] = cell{v, false, -1}
			}
		}
	}
	at, value := 0, math.Inf(-1)
	for j := range best[n] {
		if v := best[n][j].value - orderSkipped*float64(m-j); v > value {
			at, value = j, v
		}
	}
	var chosen []proposal
	for i, j := n, at; i > 0; {
		c := best[i][j]
		switch {
		case c.taken:
			chosen = append(chosen, usable[i-1])
			i, j = before[i-1], c.from
		case c.from < 0:
			j--
		default:
			i--
		}
	}
	slices.Reverse(chosen)
	return chosen
}
