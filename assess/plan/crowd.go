package plan

import (
	"math"
	"sync"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/internal/interpolate"
)

// Somebody who listens for more than half the room errs with this standard
// deviation of the share; it is that of a verdict by ear.
const (
	gotCut    = 0.5
	hearingSD = ability.DefaultVerdictSD
)

// crowd is a belief about a group as weights over level and spread, for the
// arithmetic of a card: what fraction of groups goes which way. It is coarser than
// a posterior, and depends only on the prior and the answers, not on their order.
type crowd struct {
	levels  []float64   // tiers
	weights [][]float64 // by spread of spreadCurves, then level
}

const (
	crowdStep  = 0.2 // tiers between levels
	crowdWidth = 3.5 // standard deviations of the prior on either side
)

// spreadZ are the spreads of a crowd, in standard deviations of their logarithm.
var spreadZ = [...]float64{-1.6, -0.8, 0, 0.8, 1.6}

func newCrowd(prior ability.Prior) *crowd {
	c := &crowd{}
	half := int(math.Ceil(crowdWidth * prior.LevelSD / crowdStep))
	for i := -half; i <= half; i++ {
		c.levels = append(c.levels, prior.Level+float64(i)*crowdStep)
	}
	c.weights = make([][]float64, len(spreadZ))
	for k, z := range spreadZ {
		c.weights[k] = make([]float64, len(c.levels))
		for i, level := range c.levels {
			x := (level - prior.Level) / prior.LevelSD
			c.weights[k][i] = math.Exp(-(x*x + z*z) / 2)
		}
	}
	c.scale(1 / c.mass())
	return c
}

func (c *crowd) mass() float64 {
	sum := 0.0
	for _, row := range c.weights {
		for _, w := range row {
			sum += w
		}
	}
	return sum
}

func (c *crowd) scale(by float64) {
	for _, row := range c.weights {
		for i := range row {
			row[i] *= by
		}
	}
}

// add takes in the groups of another crowd with the same levels.
func (c *crowd) add(other *crowd) {
	for k, row := range other.weights {
		for i, w := range row {
			c.weights[k][i] += w
		}
	}
}

// divide splits a crowd by the answer to a call: those who get it and those who
// lose it. Masses are kept.
func (c *crowd) divide(call answerChance) (got, lost *crowd) {
	got = &crowd{levels: c.levels, weights: make([][]float64, len(c.weights))}
	lost = &crowd{levels: c.levels, weights: make([][]float64, len(c.weights))}
	for k, row := range c.weights {
		got.weights[k] = make([]float64, len(row))
		lost.weights[k] = make([]float64, len(row))
		for i, w := range row {
			p := call.got(k, c.levels[i])
			got.weights[k][i] = w * p
			lost.weights[k][i] = w * (1 - p)
		}
	}
	return got, lost
}

// prior returns the normal and lognormal belief with the crowd's moments.
func (c *crowd) prior(of ability.Prior) ability.Prior {
	var total, sum, square, zSum, zSquare float64
	for k, row := range c.weights {
		for i, w := range row {
			total += w
			sum += w * c.levels[i]
			square += w * c.levels[i] * c.levels[i]
			zSum += w * spreadZ[k]
			zSquare += w * spreadZ[k] * spreadZ[k]
		}
	}
	mean, zMean := sum/total, zSum/total
	zVariance := max(zSquare/total-zMean*zMean, 0)
	return ability.Prior{
		Level:        mean,
		LevelSD:      min(max(math.Sqrt(max(square/total-mean*mean, 0)), 0.1), 4),
		SpreadMedian: of.SpreadMedian * math.Exp(of.SpreadSigma*zMean),
		SpreadSigma:  min(max(of.SpreadSigma*math.Sqrt(zVariance), 0.05), 2),
	}
}

// tierChances returns the chances of the comfort tiers 0 to highest.
func (c *crowd) tierChances(curves *spreadCurves, highest int, comfort float64) []float64 {
	out := make([]float64, highest+1)
	total := c.mass()
	for k, row := range c.weights {
		edge := curves.distance(k, comfort)
		for i, w := range row {
			// One step of levels may lie across the edge of two tiers.
			low := c.levels[i] - edge - crowdStep/2
			tier := math.Floor(low + crowdStep)
			over := min((low+crowdStep-tier)/crowdStep, 1)
			for _, part := range [...]struct{ tier, share float64 }{{tier, over}, {tier - 1, 1 - over}} {
				out[int(min(max(part.tier, 0), float64(highest)))] += w / total * part.share
			}
		}
	}
	return out
}

// spreadCurves is the share of a group expected to manage a phrase, by its spread
// and by level minus difficulty.
type spreadCurves struct {
	share [][]float64 // by spread, then distance in steps of curveStep from −curveReach
}

const (
	curveStep  = 0.1
	curveReach = 20.0
)

func newSpreadCurves(prior ability.Prior) (*spreadCurves, error) {
	c := &spreadCurves{share: make([][]float64, len(spreadZ))}
	for k, z := range spreadZ {
		spread := prior.SpreadMedian * math.Exp(prior.SpreadSigma*z)
		known, err := ability.NewPosterior(ability.Prior{
			LevelSD: 0.1, SpreadMedian: min(max(spread, 0.3), 4.8), SpreadSigma: 0.05,
		})
		if err != nil {
			return nil, err
		}
		for i := range int(2*curveReach/curveStep) + 1 {
			c.share[k] = append(c.share[k], known.Share(curveReach-float64(i)*curveStep))
		}
	}
	return c, nil
}

func (c *spreadCurves) at(k int, distance float64) float64 {
	return interpolate.At(c.share[k], curveStep, distance)
}

// distance is the inverse of at.
func (c *spreadCurves) distance(k int, share float64) float64 {
	return interpolate.Inverse(c.share[k], curveStep, share)
}

// answerChance is how likely the leader hears that a call was got.
type answerChance struct {
	curves     *spreadCurves
	difficulty float64
	sd         float64 // of the difficulty
	people     float64
}

// errorZ and errorWeight integrate over the error of a difficulty: five-point
// Gauss–Hermite for a standard normal variable. The rule is worked out from its
// defining equations, the roots of x⁵−10x³+15x.
var errorRule = sync.OnceValue(func() (rule [5]struct{ z, weight float64 }) {
	inner, outer := math.Sqrt(5-math.Sqrt(10)), math.Sqrt(5+math.Sqrt(10))
	for i, z := range [...]float64{-outer, -inner, 0, inner, outer} {
		he4 := z*z*z*z - 6*z*z + 3
		rule[i].z, rule[i].weight = z, 120/(25*he4*he4)
	}
	return rule
})

// got is the chance with the spread k and at a level.
func (a answerChance) got(k int, level float64) float64 {
	sum := 0.0
	for _, point := range errorRule() {
		p := a.curves.at(k, level-a.difficulty-point.z*a.sd)
		sd := math.Sqrt(hearingSD*hearingSD + p*(1-p)/a.people)
		sum += point.weight * math.Erfc((gotCut-p)/sd/math.Sqrt2) / 2
	}
	return sum
}
