package ability

import "math"

// mix says in words how differently the people of a group do.
type mix uint8

// The mixes. With a spread of 0.75 tiers the middle two thirds of the people
// lie within one and a half tiers and can play one part; with 1.5 they cover
// three tiers and need two. The limits are our choice, no source.
const (
	alike mix = iota
	someSpread
	mixed
)

const (
	alikeBelow = 0.75
	mixedAbove = 1.5
)

// String returns "alike", "some spread" or "mixed".
func (m mix) String() string {
	switch m {
	case alike:
		return "alike"
	case someSpread:
		return "some spread"
	default:
		return "mixed"
	}
}

// mixChances returns the chances of Alike, SomeSpread and Mixed, in this order.
func (p *Posterior) mixChances() [3]float64 {
	// A row stands for spreads within half a step of the grid, which is even in
	// the logarithm.
	half := math.Log(spreadHighest/spreadLowest) / (spreadCount - 1) / 2
	var out [3]float64
	table := curves()
	for r := range table {
		total := 0.0
		row, _ := p.row(r)
		for _, w := range row {
			total += w
		}
		low := math.Log(table[r].spread) - half
		fewer := clamp01((math.Log(alikeBelow) - low) / (2 * half))
		more := clamp01(1 - (math.Log(mixedAbove)-low)/(2*half))
		out[alike] += total * fewer
		out[mixed] += total * more
		out[someSpread] += total * (1 - fewer - more)
	}
	return out
}

func clamp01(x float64) float64 { return min(max(x, 0), 1) }

// likeliest returns the mix with the highest chance; of equals the middle one,
// then the less mixed.
func likeliest(chances [3]float64) mix {
	best := someSpread
	for _, m := range []mix{alike, mixed} {
		if chances[m] > chances[best] {
			best = m
		}
	}
	return best
}
