package ability

import "math"

// comparison compares estimates with the truth over many groups.
type comparison struct {
	groups       int
	covered      int // 90 % intervals that hold the level of the room
	exact, close int // stated tier right, within one
	mix          int // right word for the mix
	square, sd   float64
	ceiling      float64     // best possible rate of exact
	every        reliability // chances of every tier
	stated       reliability // chance of the stated tier
}

// reliability collects chances in ten bins, with how often they came true.
type reliability [10]struct {
	n, came int
	chance  float64
}

func (r *reliability) add(chance float64, came bool) {
	b := &r[min(int(10*chance), 9)]
	b.n++
	b.chance += chance
	if came {
		b.came++
	}
}

func (r *reliability) merge(o *reliability) {
	for i := range r {
		r[i].n += o[i].n
		r[i].came += o[i].came
		r[i].chance += o[i].chance
	}
}

// calibrationError is the expected calibration error: the mean over all chances
// given of the distance between chance and frequency of its bin.
func (r *reliability) calibrationError() float64 {
	sum, n := 0.0, 0
	for _, b := range r {
		sum += math.Abs(b.chance - float64(b.came))
		n += b.n
	}
	return sum / float64(n)
}

func (t *comparison) add(w world, c condition, round int, g crowd, p *Posterior) {
	t.groups++
	t.ceiling += g.ceiling(w, c, round)
	level := g.level()
	if p.LevelQuantile(0.05) <= level && level <= p.LevelQuantile(0.95) {
		t.covered++
	}
	mean, sd := p.Level()
	t.square += (mean - level) * (mean - level)
	t.sd += sd
	if likeliest(p.mixChances()) == g.mix() {
		t.mix++
	}

	truth := g.tier(w.tiers, DefaultComfort)
	stated := likeliestTier(p.tierChances(w.tiers, DefaultComfort))
	switch {
	case stated == truth:
		t.exact++
		t.close++
	case stated == truth+1 || stated == truth-1:
		t.close++
	}
	for tier, chance := range p.tierChances(w.tiers, DefaultComfort) {
		t.every.add(chance, tier == truth)
		if tier == stated {
			t.stated.add(chance, tier == truth)
		}
	}
}

func (t *comparison) merge(o *comparison) {
	t.groups += o.groups
	t.covered += o.covered
	t.exact += o.exact
	t.close += o.close
	t.mix += o.mix
	t.square += o.square
	t.sd += o.sd
	t.ceiling += o.ceiling
	t.every.merge(&o.every)
	t.stated.merge(&o.stated)
}

func (t *comparison) rate(n int) float64 { return float64(n) / float64(t.groups) }
