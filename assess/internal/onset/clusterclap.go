package onset

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// within lists the attacks from one time to another.
func within(attacks []Attack, from, to float64) []Attack {
	lo := sort.Search(len(attacks), func(i int) bool { return attacks[i].Time >= from })
	hi := sort.Search(len(attacks), func(i int) bool { return attacks[i].Time >= to })
	return attacks[lo:max(lo, hi)]
}

// singles tells whether a cluster is one clap, or a few that one person clapped in quick
// succession, and which; none for the clap of a group.
func (c *clusters) singles(a *Analysis, p cluster) []Attack {
	inside := slices.Clone(within(a.Attacks, p.from-0.01, p.to))
	inside = slices.DeleteFunc(inside, func(x Attack) bool { return x.onlyLow })
	if len(inside) == 0 {
		return nil
	}
	slices.SortStableFunc(inside, func(x, y Attack) int { return cmp.Compare(y.Power, x.Power) })
	total := c.energy(p.from-0.01, p.to)
	var claps []Attack
	share := 0.0
	for _, x := range inside {
		part := c.energy(x.Time-0.002, x.Time+0.012) / max(total, silentPower)
		if len(claps) > 0 && part < clapShare {
			break
		}
		close := func(y Attack) bool { return math.Abs(y.Time-x.Time) < clapsApart }
		if slices.ContainsFunc(claps, close) {
			continue
		}
		claps = append(claps, x)
		share += part
		if len(claps) == clapMost {
			break
		}
	}
	if share < clapTogether {
		return nil
	}
	slices.SortFunc(claps, func(x, y Attack) int { return cmp.Compare(x.Time, y.Time) })
	return claps
}
