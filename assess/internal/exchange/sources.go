package exchange

import (
	"math"
	"slices"
)

// side is what one side of a round sounds like: means of traits over its notes, and how far they
// stray.
type side struct {
	Mean   traits
	Square traits // mean squares
	N      [traitCount]float64
}

func sideOf(rows []traits) side {
	var s side
	for _, x := range rows {
		for k, v := range x {
			if !math.IsNaN(v) {
				s.N[k]++
				s.Mean[k] += v
				s.Square[k] += v * v
			}
		}
	}
	for k, n := range s.N {
		if n > 0 {
			s.Mean[k] /= n
			s.Square[k] /= n
		}
	}
	return s
}

// pair is the two sides of an answered round.
type pair struct{ Call, Answer side }

// Least spreads of a trait between rounds, in its own unit: nobody claps more evenly, and a room
// changes that much with where people stand.
var leastSpread = traits{level: 1.5, thump: 2, focus: 0.4, width: 0.25, colour: 0.6}

// apart is how well calls and answers are told apart by their sound: for each round the odds by
// what the others have taught.
func apart(pairs []pair) (odds, other []float64) {
	odds, other = make([]float64, len(pairs)), make([]float64, len(pairs))
	for i := range pairs {
		byTrait := pairs[i].byTrait(slices.Delete(slices.Clone(pairs), i, i+1))
		for k, x := range byTrait {
			odds[i] += x
			if k != level {
				other[i] += x
			}
		}
	}
	return odds, other
}

// odds is the log odds that the call and the answer come from the sources that calls and answers of
// other rounds come from, against no lasting difference.
func (p pair) odds(others []pair) float64 {
	sum := 0.0
	for _, x := range p.byTrait(others) {
		sum += x
	}
	return sum
}

func (p pair) byTrait(others []pair) (odds traits) {
	for k := range traitCount {
		d, sd, ok := difference(others, k)
		own, has := p.difference(k)
		if ok && has {
			// A normal law about +d against one about -d: without a lasting difference either sign
			// is as likely.
			odds[k] = max(-oddsMost, min(oddsMost, 2*own*d/(sd*sd)))
		}
	}
	return odds
}

const oddsMost = 3.0 // of one trait of one round

func (p pair) difference(k int) (float64, bool) {
	if p.Call.N[k] == 0 || p.Answer.N[k] == 0 {
		return 0, false
	}
	return p.Call.Mean[k] - p.Answer.Mean[k], true
}

// difference is the mean over rounds of call minus answer in one trait, and its spread between
// rounds.
func difference(pairs []pair, k int) (mean, sd float64, ok bool) {
	n, sum, square := 0.0, 0.0, 0.0
	for _, p := range pairs {
		if d, ok := p.difference(k); ok {
			n, sum, square = n+1, sum+d, square+d*d
		}
	}
	if n == 0 {
		return 0, 1, false
	}
	mean = sum / n
	least := leastSpread[k]
	const prior = 2 // rounds' worth of the least spread
	sd = math.Sqrt((square - n*mean*mean + prior*4*least*least) / (n + prior))
	return mean * n / (n + 1), max(sd, least), true
}
