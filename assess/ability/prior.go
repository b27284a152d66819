package ability

import (
	"cmp"
	"math"
)

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
	return Prior{Level: float64(1+highest) / 2, LevelSD: usualLevelSD}
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
	return Prior{Level: level, LevelSD: math.Sqrt(min(variance, usualLevelSD*usualLevelSD))}
}

// blurred returns the belief if all rounds may err in common by the given number of tiers: what the
// rounds say of the level, without the prior it began with, is that much less sharp.
func (p *Posterior) blurred(sd float64, prior Prior) *Posterior {
	errors := kernel(sd)
	reach := len(errors) / 2
	next := p.copy()
	before := p.densities(prior)
	said := make([]float64, p.columns+2*reach)
	for r := range p.live {
		row, from := p.row(r)
		if len(row) == 0 {
			continue
		}
		clear(said)
		for i, w := range row {
			said[from+i+reach] = w / before[from+i]
		}
		next.live[r] = span{0, p.columns}
		smooth(next.weights[r*p.columns:(r+1)*p.columns], said, errors)
		for i, density := range before {
			next.weights[r*p.columns+i] *= density
		}
	}
	next.normalise()
	return next
}

// AfterCalls returns the prior once it is known how hard the phrases are that the leader called;
// without calls p itself. What was believed before any call counts the less the more calls there
// were.
func (p Prior) AfterCalls(calls []float64) Prior {
	n := float64(len(calls))
	if n == 0 {
		return p
	}
	mean, square := 0.0, 0.0
	for _, difficulty := range calls {
		mean += difficulty / n
	}
	for _, difficulty := range calls {
		square += (difficulty - mean) * (difficulty - mean) / n
	}
	hint := mean + max(math.Sqrt(square)-chosenShort, 0)
	told := 1 / (chosenSD*chosenSD + chosenFirstSD*chosenFirstSD/(n*n))
	before := 1 / (p.LevelSD * p.LevelSD * (1 + n/chosenHalf))
	p.Level = (told*hint + before*p.Level) / (told + before)
	p.LevelSD = 1 / math.Sqrt(told+before)
	return p
}

// chosen returns the belief once it is known what the leader called, see [Prior.AfterCalls].
func (p *Posterior) chosen(calls []float64, prior Prior) *Posterior {
	if len(calls) == 0 {
		return p
	}
	next := p.copy()
	now, before := p.densities(prior.AfterCalls(calls)), p.densities(prior)
	for r := range next.live {
		row, from := next.row(r)
		for i := range row {
			row[i] *= now[from+i] / before[from+i]
		}
	}
	next.normalise()
	return next
}

// Complete fills in the spread where it is left open.
func (p Prior) Complete() Prior {
	p.SpreadMedian = cmp.Or(p.SpreadMedian, usualSpread)
	p.SpreadSigma = cmp.Or(p.SpreadSigma, usualSpreadSigma)
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

// densities are those of a prior's level at the columns of p, without their constant.
func (p *Posterior) densities(prior Prior) []float64 {
	out := make([]float64, p.columns)
	for i := range out {
		out[i] = normalDensity(p.level(i), prior.Level, prior.LevelSD)
	}
	return out
}

// normalDensity is the density of N(mean, sd²) without its constant.
func normalDensity(x, mean, sd float64) float64 {
	z := (x - mean) / sd
	return math.Exp(-z * z / 2)
}
