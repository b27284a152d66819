package rounds

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// choose selects the rounds that do not overlap and earn most together, by weighted interval
// scheduling.
func (r *recording) choose(all []proposal, c constraints) []proposal {
	var usable []proposal
	for _, p := range all {
		p.earned += c.earned(p, r.attacks[p.met()[0]].Time)
		if p.total() >= least(p) {
			usable = append(usable, p)
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
	return chooseFreely(usable, before)
}

// chooseFreely takes the best set of proposals, in order of their ends.
func chooseFreely(usable []proposal, before []int) []proposal {
	n := len(usable)
	best := make([]float64, n+1) // best[i]: earned by the first i proposals
	taken := make([]bool, n)
	for i, p := range usable {
		value := p.total() - threshold(p) + best[before[i]]
		if value > best[i] {
			best[i+1], taken[i] = value, true
		} else {
			best[i+1] = best[i]
		}
	}
	var chosen []proposal
	for i := n; i > 0; {
		if taken[i-1] {
			chosen = append(chosen, usable[i-1])
			i = before[i-1]
		} else {
			i--
		}
	}
	slices.Reverse(chosen)
	return chosen
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
