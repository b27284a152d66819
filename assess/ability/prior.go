package ability

import "math"

// Prior is what is believed about a group before the first round.
// The level is normal, the spread lognormal.
type Prior struct {
	Level        float64 // mean of the level, tiers
	LevelSD      float64 // its standard deviation, tiers, 0.1–4
	SpreadMedian float64 // median of the spread, tiers, 0.3–4.8; 0 means 1.0
	SpreadSigma  float64 // standard deviation of ln spread, 0.05–2; 0 means 0.4
}

// PriorForTiers is the prior for a group nobody has met and a bank whose tiers
// run from 1 to highest: centred on the middle tier with a standard deviation
// of two tiers.
func PriorForTiers(highest int) Prior {
	return Prior{
		Level:   float64(1+highest) / 2,
		LevelSD: DefaultLevelSD,
	}
}

// PriorFromPast is the prior for a group that had the given level, with
// standard deviation sd, some days ago. Its variance is
//
//	sd² + 0.3² + 0.6²·days/90
//
// and at most that of an unknown group, 2²: 0.3 tiers because never the same
// people turn up, 0.6 tiers for a term of learning or forgetting. Negative days
// count as none.
func PriorFromPast(level, sd, days float64) Prior {
	variance := sd*sd + attendanceSD*attendanceSD + driftSD*driftSD*max(days, 0)/driftDays
	return Prior{Level: level, LevelSD: math.Sqrt(min(variance, DefaultLevelSD*DefaultLevelSD))}
}

// chosen returns the belief once it is known what the leader called; without calls p
// itself.
func (p *Posterior) chosen(calls []float64) *Posterior {
	n := float64(len(calls))
	if n == 0 {
		return p
	}
	mean := 0.0
	for _, difficulty := range calls {
		mean += difficulty / n
	}
	sd := math.Hypot(chosenSD, chosenFirstSD/n)
	next := p.copy()
	for r := range next.live {
		row, from := next.row(r)
		for i := range row {
			row[i] *= normalDensity(next.level(from+i), mean+chosenAbove, sd)
		}
	}
	next.normalise()
	return next
}

// complete fills in the defaults of the spread.
func (p Prior) complete() Prior {
	if p.SpreadMedian == 0 {
		p.SpreadMedian = DefaultSpreadMedian
	}
	if p.SpreadSigma == 0 {
		p.SpreadSigma = DefaultSpreadSigma
	}
	return p
}

func (p Prior) check() error {
	return firstError(
		within("prior level", p.Level, -maxDifficulty, maxDifficulty),
		within("prior level SD", p.LevelSD, 0.1, 4),
		within("prior spread median", p.SpreadMedian, spreadLowest, spreadHighest),
		within("prior spread sigma", p.SpreadSigma, 0.05, 2),
	)
}

// normalDensity is the density of N(mean, sd²) without its constant.
func normalDensity(x, mean, sd float64) float64 {
	z := (x - mean) / sd
	return math.Exp(-z * z / 2)
}
