package ability

// told is what tries at one phrase say: their likelihood over the cells of a
// posterior, for phrases exactly as hard as stated. The error of the difficulty,
// which all tries share, is brought in last, so that more tries can be added.
type told struct {
	sd     float64   // of the difficulty, tiers
	kernel []float64 // of its errors
	reach  int       // columns to either side that the errors reach
	stride int
	exact  []float64 // row·stride + reach + column, good in the live columns and reach around them
}

// newTold weighs tries for the live cells of p.
func newTold(p *Posterior, tries []Observation) *told {
	sd := largestSD(tries)
	kernel := kernel(sd)
	reach := len(kernel) / 2
	t := &told{sd: sd, kernel: kernel, reach: reach, stride: p.columns + 2*reach}
	t.exact = make([]float64, len(p.live)*t.stride)
	for i := range t.exact {
		t.exact[i] = 1
	}
	t.add(p, tries)
	return t
}

// largestSD of the difficulty that is stated for tries at one phrase.
func largestSD(tries []Observation) float64 {
	sd := 0.0
	for _, o := range tries {
		sd = max(sd, o.DifficultySD)
	}
	return sd
}

// row returns the places of a row's live columns, with the reach around them.
func (t *told) row(p *Posterior, r int) []float64 {
	s := p.live[r]
	return t.exact[r*t.stride+s.from : r*t.stride+s.to+2*t.reach]
}

// add takes in more tries, for the cells of p that are live now.
func (t *told) add(p *Posterior, tries []Observation) {
	table := curves()
	for _, o := range tries {
		round := newRound(o)
		for r := range table {
			if s := p.live[r]; s.from < s.to {
				round.times(t.row(p, r), p.level(s.from-t.reach), &table[r])
			}
		}
	}
}

// multiply brings what was told into p, which is not normalised then.
func (t *told) multiply(p *Posterior) {
	t.each(p, func(weights, told []float64) {
		for i, x := range told {
			weights[i] *= x
		}
	})
}

// divide takes out of p what was told before. An outlier is never impossible, so
// nothing is divided by zero.
func (t *told) divide(p *Posterior) {
	t.each(p, func(weights, told []float64) {
		for i, x := range told {
			weights[i] /= x
		}
	})
}

func (t *told) each(p *Posterior, do func(weights, told []float64)) {
	smoothed := make([]float64, p.columns)
	for r := range p.live {
		weights, _ := p.row(r)
		if len(weights) == 0 {
			continue
		}
		smooth(smoothed[:len(weights)], t.row(p, r), t.kernel)
		do(weights, smoothed[:len(weights)])
	}
}

// item is a phrase with the tries at it that a session has taken.
type item struct {
	tries []Observation
	known int   // tries that the belief knows
	kept  *told // by those; only where there were several, for most phrases are called once
}

// tell brings new tries into p, which is not normalised then.
func (it *item) tell(p *Posterior) {
	now := it.kept
	if it.known > 0 {
		if now == nil {
			now = newTold(p, it.tries[:it.known])
		}
		now.divide(p)
	}
	if now == nil || now.sd != largestSD(it.tries) {
		now = newTold(p, it.tries)
	} else {
		now.add(p, it.tries[it.known:])
	}
	now.multiply(p)
	it.known = len(it.tries)
	if it.known > 1 {
		it.kept = now
	}
}
