package timbre

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/robust"
)

// Features of an attack that tell one kind from another, roughly normal in each class: level in
// dB, contrast in dB, concentration and colour in tenths, thump in dB.
type Features [5]float64

// LevelFeature is where [Features] hold the level.
const LevelFeature = 0

// FeaturesOf reads them; level is that of the attack in dB.
func FeaturesOf(a onset.Attack, level float64) Features {
	return Features{level, a.Contrast, 10 * a.Concentration, 10 * a.Colour, a.Thump}
}

// What attacks of one kind sound like. Set on the tuning half of made-up warm-ups; what a change
// does is printed by the command named in timbre.go.
const (
	mostRows      = 150  // attacks of a class that are kept: enough to know it
	strangeLog    = -9.0 // log density, relative to the centre of a law, of an attack unlike any seen
	densityWeight = 0.5  // how far the widths of the laws count: the features are not independent
	ownOdds       = 3.0  // odds that are enough for most attacks of a class:
	surplusMost   = 2.5  // at most so much of what they have above it is taken off all
)

// By feature, in its own unit: the smallest spread in a class, for nothing is more certain than
// this, and the weight of its log ratio, for they are not independent.
var (
	leastSpread   = Features{1.2, 2.5, 0.5, 0.4, 1.5}
	featureWeight = Features{0.6, 0.5, 0.6, 0.5, 0.4}
)

// Class is what attacks of one kind sound like: a mixture of normal laws, one around each attack
// seen, because a person may clap and stamp.
type Class struct {
	Median Features
	rows   []row
	spread Features // width of the single laws
	// how much the square of a distance in a feature counts, and the logarithms of all widths
	weight Features
	widths float64
}

// row is what one attack taught.
type row struct {
	attack   int
	features Features
}

// NewClass learns from attacks, which are named by numbers, and their features. It keeps neither.
func NewClass(attacks []int, features []Features) Class {
	c := Class{rows: make([]row, len(attacks))}
	for i, k := range attacks {
		c.rows[i] = row{k, features[i]}
	}
	column := make([]float64, len(c.rows))
	for k := range c.Median {
		if len(c.rows) == 0 {
			break
		}
		for i, row := range c.rows {
			column[i] = row.features[k]
		}
		c.Median[k] = robust.Upper(column)
		for i, row := range c.rows {
			column[i] = math.Abs(row.features[k] - c.Median[k])
		}
		c.spread[k] = max(leastSpread[k], 0.7*1.4826*robust.Upper(column))
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

// Log is the log density of the features of an attack. What the attack itself taught counts only
// where it says so.
func (c *Class) Log(attack int, x Features, itself bool) float64 {
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

// Surplus is by how much the odds of the class's own attacks against another exceed what is enough
// to know them: where they all stand out far, one that hardly does is none of them.
func (c *Class) Surplus(other *Class) float64 {
	odds := make([]float64, len(c.rows))
	for i, x := range c.rows {
		odds[i] = c.Log(x.attack, x.features, true) - other.Log(x.attack, x.features, true)
	}
	slices.Sort(odds)
	return max(0, min(surplusMost, odds[len(odds)/4]-ownOdds))
}
