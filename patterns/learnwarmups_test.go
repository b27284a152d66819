package patterns

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/internal/features"
)

// A leader's own world: difficulties are off by 0.8 tiers in all, a share of the variance by the
// weights, the rest phrase by phrase. Twelve warm-ups of 25 people, nine calls each from half of
// the bank, the shares heard with an error of 0.12. From what people do to what is heard nothing of
// the fit is assumed.
func twelveWarmUps(random *rand.Rand, share float64) (truth map[string]float64, called *bank.Bank,
	outcomes []bank.Outcome,
) {
	m := difficulty.DefaultModel()
	called = &bank.Bank{}
	for i, e := range bank.Starter().Entries {
		if i%2 == 0 && m.Difficulty(e.Phrase) < 6.5 {
			called.Entries = append(called.Entries, e)
		}
	}
	doubt, _ := m.Doubt()
	var off features.Values
	for k := range off {
		off[k] = doubt[k] * random.NormFloat64()
	}
	var shared []float64
	for _, e := range called.Entries {
		sum := 0.0
		for k, v := range features.Of(e.Phrase) {
			sum += off[k] * v
		}
		shared = append(shared, sum)
	}
	mean, sd := stat.PopMeanStdDev(shared, nil)
	byWeights, alone := 0.8*math.Sqrt(share), 0.8*math.Sqrt(1-share)
	truth = map[string]float64{}
	for i, e := range called.Entries {
		truth[e.ID] = m.Difficulty(e.Phrase) + byWeights*(shared[i]-mean)/sd + alone*random.NormFloat64()
	}
	// The leader calls about half of the phrases, again and again.
	order := random.Perm(len(called.Entries))[:len(called.Entries)/2]
	for g := range 12 {
		level := 3.5 + random.NormFloat64()
		people := make([]float64, 25)
		for k := range people {
			people[k] = level + random.NormFloat64()
		}
		for _, at := range random.Perm(len(order))[:9] {
			id, got := called.Entries[order[at]].ID, 0.0
			for _, l := range people {
				if random.Float64() < 1/(1+math.Exp(1.24*(truth[id]-l))) {
					got += 1 / float64(len(people))
				}
			}
			share := min(max(got+0.12*random.NormFloat64(), 0), 1)
			outcomes = append(outcomes, bank.Outcome{
				Phrase: id, Group: fmt.Sprint("group ", g), Share: share, People: len(people),
			})
		}
	}
	return truth, called, outcomes
}

// errors are sums of squares before and after learning, and how many lie inside their interval.
type misses struct{ before, after, inside, n float64 }

func (e *misses) add(p Learned, truth float64) {
	e.before += math.Pow(p.Before-truth, 2)
	e.after += math.Pow(p.After-truth, 2)
	e.n++
	if math.Abs(p.After-truth) < 1.645*p.SD {
		e.inside++
	}
}

// fall is the share of the root mean square error that is left.
func (e *misses) fall() float64 { return math.Sqrt(e.after / e.before) }

func TestTwelveWarmUpsTakeAThirdOffTheError(t *testing.T) {
	for share, most := range map[float64]struct{ called, never float64 }{
		0:   {0.66, 1.05}, // nothing in common: what was never called can't be known better
		0.5: {0.60, 0.90},
		1:   {0.56, 0.70},
	} {
		var called, never misses
		for seed := range uint64(60) {
			truth, bank, outcomes := twelveWarmUps(rand.New(rand.NewPCG(12, seed)), share)
			lesson, err := Learn(difficulty.DefaultModel(), bank, outcomes)
			require.NoError(t, err)
			for _, p := range lesson.Phrases {
				called.add(p, truth[p.ID])
			}
			for _, p := range lesson.Others {
				never.add(p, truth[p.ID])
			}
		}
		t.Logf("%3.0f %% by weights: error of called phrases %.2f, then %.2f; never called %.2f, then %.2f; "+
			"%.0f and %.0f %% inside the 90 %% interval", 100*share,
			math.Sqrt(called.before/called.n), math.Sqrt(called.after/called.n),
			math.Sqrt(never.before/never.n), math.Sqrt(never.after/never.n),
			100*called.inside/called.n, 100*never.inside/never.n)
		assert.InDelta(t, 0.8, math.Sqrt(called.before/called.n), 0.1)
		assert.Less(t, called.fall(), most.called)
		assert.Less(t, never.fall(), most.never)
		assert.Greater(t, called.inside/called.n, 0.85, "stated errors are honest")
		assert.Greater(t, never.inside/never.n, 0.85, "stated errors are honest")
	}
}
