package rounds

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/onset"
)

// leader holds, for every attack, the natural-log odds that it is the leader's, and what the leader and the others sound like.
type leader struct {
	odds  []float64
	sharp []float64 // the general odds of a single source, before a recording has taught its own
	level []float64 // dB
	loud  float64   // the leader's usual level once learnt, dB
	known bool
}

// Weights of the general odds, before a recording has taught its own: sharpness speaks for a single source near the phone.
// Set on synthetic warm-ups of the tuning half.
const (
	contrastMiddle, contrastWeight           = 8.0, 0.25 // dB
	concentrationMiddle, concentrationWeight = 0.3, 5.0
	oddsLimit                                = 3.0
)

func newLeader(attacks []onset.Attack) *leader {
	l := &leader{odds: make([]float64, len(attacks)), level: make([]float64, len(attacks))}
	for i, a := range attacks {
		l.level[i] = 10*math.Log10(a.Power+1e-20) + 10*math.Log10(1+math.Pow(10, a.Thump/10)) // a stamp's power lies below the clap band
		l.odds[i] = clamp(contrastWeight*(a.Contrast-contrastMiddle)+concentrationWeight*(a.Concentration-concentrationMiddle), oddsLimit)
	}
	l.sharp = slices.Clone(l.odds)
	return l
}

// share is how far an attack is taken for the leader's, 0 to 1; 0 as long as nothing was learnt.
func (l *leader) share(i int) float64 {
	if !l.known {
		return 0
	}
	return 1 / (1 + math.Exp(-2*(l.odds[i]-0.5)))
}

func clamp(x, limit float64) float64 { return max(-limit, min(limit, x)) }

// features of an attack that tell the leader from others, roughly normal in each class.
func (l *leader) features(a onset.Attack, i int) [featureCount]float64 {
	return [featureCount]float64{l.level[i], a.Contrast, 10 * a.Concentration, 10 * a.Colour, a.Thump}
}

const featureCount = 5

// smallest spread that a feature may have in a class, in its own unit: nothing is more certain than this.
var leastSpread = [featureCount]float64{2, 3, 1.2, 0.8, 2.5}

// weight of each feature's log ratio: they are not independent.
var featureWeight = [featureCount]float64{0.6, 0.5, 0.6, 0.5, 0.4}

// learn replaces the general odds by those of this recording: the notes of the chosen calls against the attacks of the
// answers. With too few of either it keeps what it has.
func (l *leader) learn(f *finder, chosen []proposal) {
	var own, others [][featureCount]float64
	for _, p := range chosen {
		if p.answer == nil {
			continue
		}
		for _, i := range p.matched {
			if i >= 0 {
				own = append(own, l.features(f.attacks[i], i))
			}
		}
		from, to := p.from-0.1, p.to
		for i := f.attackFrom(from); i < len(f.attacks) && f.attacks[i].Time < to; i++ {
			others = append(others, l.features(f.attacks[i], i))
		}
	}
	if len(own) < leastLearnt {
		return
	}
	mine := newClass(own)
	theirs := newClass(others)
	l.known, l.loud = true, mine.middle[0]
	for i, a := range f.attacks {
		x := l.features(a, i)
		odds := l.odds[i]
		if len(others) >= leastLearnt {
			odds = mine.log(x) - theirs.log(x)
		}
		// However like the leader's an attack is in colour, far below the leader's level it is not a call.
		if quiet := mine.middle[0] - 14 - x[0]; quiet > 0 {
			odds -= quiet / 3
		}
		l.odds[i] = clamp(odds, oddsLimit)
	}
}

// leastLearnt is the number of attacks that make a class.
const leastLearnt = 6

// class is what attacks of one kind sound like: a heap of normal laws, one around each attack seen, because a leader may
// clap and stamp.
type class struct {
	rows           [][featureCount]float64
	middle, spread [featureCount]float64 // median, and width of the single laws
}

func newClass(rows [][featureCount]float64) class {
	c := class{rows: rows}
	column := make([]float64, len(rows))
	for k := range featureCount {
		if len(rows) == 0 {
			break
		}
		for i, row := range rows {
			column[i] = row[k]
		}
		slices.Sort(column)
		c.middle[k] = column[len(column)/2]
		for i, row := range rows {
			column[i] = math.Abs(row[k] - c.middle[k])
		}
		slices.Sort(column)
		c.spread[k] = max(leastSpread[k], 0.7*1.4826*column[len(column)/2])
	}
	if len(rows) > mostRows { // evenly thinned: enough to know a class
		step := float64(len(rows)) / mostRows
		thin := make([][featureCount]float64, mostRows)
		for i := range thin {
			thin[i] = rows[int(float64(i)*step)]
		}
		c.rows = thin
	}
	return c
}

const (
	mostRows   = 150
	strangeLog = -9.0 // log density relative to the middle of a law, of an attack unlike any seen
)

// log is the log density of features.
func (c class) log(x [featureCount]float64) float64 {
	if len(c.rows) == 0 {
		return strangeLog
	}
	widths := 0.0
	for _, w := range c.spread {
		widths += math.Log(w)
	}
	sum := math.Exp(strangeLog)
	for _, row := range c.rows {
		d := 0.0
		for k, y := range row {
			z := (x[k] - y) / c.spread[k]
			d += featureWeight[k] * z * z
		}
		sum += math.Exp(-d/2) / float64(len(c.rows))
	}
	return math.Log(sum) - widths*densityWeight
}

// densityWeight is how far the widths of the laws count: the features are not independent.
const densityWeight = 0.5
