package rounds

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/robust"
)

// leader is what is believed of the leader's sound.
type leader struct {
	odds []float64 // natural-log odds of each attack that it is the leader's
	loud float64   // the leader's usual level once learnt, dB
	// clap and full are how high the activity of either kind stands at the leader's usual stroke.
	clap, full float64
	known      bool // learnt from this recording; before that, odds are those of any single source
}

// share is how far an attack is taken for the leader's, 0 to 1; 0 as long as nothing was learnt.
func (l leader) share(i int) float64 {
	if !l.known {
		return 0
	}
	return 1 / (1 + math.Exp(-2*(l.odds[i]-0.5)))
}

// features of an attack that tell the leader from others, roughly normal in each class.
func (r *recording) features(i int) [featureCount]float64 {
	a := r.attacks[i]
	return [featureCount]float64{r.level[i], a.Contrast, 10 * a.Concentration, 10 * a.Colour, a.Thump}
}

// learnt replaces the odds by those of this recording: the notes of the chosen calls against the
// attacks of the answers. With too few of either it keeps what it has.
func (l leader) learnt(r *recording, chosen []proposal) leader {
	var own, others []int
	last := map[int]bool{} // strokes that end a call: one may be the first of the group
	for _, p := range chosen {
		if p.answer == nil {
			continue
		}
		met := p.met()
		own = append(own, met...)
		last[met[len(met)-1]] = true
		from, to := p.from-0.1, p.to
		for i := r.attackFrom(from); i < len(r.attacks) && r.attacks[i].Time < to; i++ {
			others = append(others, i)
		}
	}
	if len(own) < leastLearnt {
		return l
	}
	mine := r.newClass(own)
	var clap, full []float64
	for _, p := range chosen {
		for _, i := range p.met() {
			c, f := r.strokeHeight(r.attacks[i].Time)
			clap, full = append(clap, c), append(full, f)
		}
	}
	theirs := r.newClass(others)
	next := leader{
		known: true, loud: mine.median[0], clap: robust.Median(clap), full: robust.Median(full),
		odds: make([]float64, len(r.attacks)),
	}
	surplus := 0.0
	if len(others) >= leastLearnt {
		surplus = mine.surplus(&theirs)
	}
	for i := range r.attacks {
		x := r.features(i)
		odds := l.odds[i]
		strong := r.attacks[i].Low || x[0] > next.loud-strongBelow && !last[i]
		if len(others) >= leastLearnt {
			odds = mine.log(i, x, strong) - theirs.log(i, x, true) - surplus
		}
		// However like the leader's an attack is in colour, far below the leader's level it is not
		// a call.
		below := farBelow
		if r.attacks[i].Low {
			below = farBelowLow
		}
		if quiet := next.loud - below - x[0]; quiet > 0 {
			odds -= quiet / 3
		}
		next.odds[i] = clamp(odds, oddsLimit)
	}
	return next
}

// class is what attacks of one kind sound like: a mixture of normal laws, one around each
// attack seen, because a leader may clap and stamp.
type class struct {
	rows           []row
	median, spread [featureCount]float64 // median, and width of the single laws
	// how much the square of a distance in a feature counts, and the logarithms of all widths
	weight [featureCount]float64
	widths float64
}

// row is what one attack taught.
type row struct {
	attack   int
	features [featureCount]float64
}

func (r *recording) newClass(attacks []int) class {
	c := class{rows: make([]row, len(attacks))}
	for i, k := range attacks {
		c.rows[i] = row{k, r.features(k)}
	}
	column := make([]float64, len(c.rows))
	for k := range featureCount {
		if len(c.rows) == 0 {
			break
		}
		for i, row := range c.rows {
			column[i] = row.features[k]
		}
		slices.Sort(column)
		c.median[k] = column[len(column)/2]
		for i, row := range c.rows {
			column[i] = math.Abs(row.features[k] - c.median[k])
		}
		slices.Sort(column)
		c.spread[k] = max(leastSpread[k], 0.7*1.4826*column[len(column)/2])
		c.weight[k] = featureWeight[k] / (c.spread[k] * c.spread[k])
		c.widths += math.Log(c.spread[k])
	}
	if n := len(c.rows); n > mostRows { // evenly thinned: enough to know a class
		step := float64(n) / mostRows
		thin := make([]row, mostRows)
		for i := range thin {
			thin[i] = c.rows[int(float64(i)*step)]
		}
		c.rows = thin
	}
	return c
}

// log is the log density of the features of an attack. What the attack itself taught counts only
// where it says so.
func (c *class) log(attack int, x [featureCount]float64, itself bool) float64 {
	sum, n := 0.0, 0.0
	for i := range c.rows {
		row := &c.rows[i]
		if row.attack == attack && !itself {
			continue
		}
		d := 0.0
		for k, y := range row.features {
			d += c.weight[k] * (x[k] - y) * (x[k] - y)
		}
		if d < farAway {
			sum += math.Exp(-d / 2)
		}
		n++
	}
	if n == 0 {
		return strangeLog
	}
	return math.Log(math.Exp(strangeLog)+sum/n) - c.widths*densityWeight
}

// farAway is the square of a distance from where on a law adds less to the density than the last
// digit of what an attack has that is unlike any seen.
const farAway = 100

// surplus is by how much the odds of the class's own attacks against another exceed what is enough
// to know them: where they all stand out far, one that hardly does is none of them.
func (c *class) surplus(other *class) float64 {
	odds := make([]float64, len(c.rows))
	for i, x := range c.rows {
		odds[i] = c.log(x.attack, x.features, true) - other.log(x.attack, x.features, true)
	}
	slices.Sort(odds)
	return max(0, min(surplusMost, odds[len(odds)/4]-ownOdds))
}
