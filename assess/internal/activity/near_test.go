package activity

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSumsOfAPartAreThoseOfTheWholeCurve(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	raw := make([]float32, 3000)
	for i := range raw {
		raw[i] = float32(max(0, rng.NormFloat64()))
	}
	c := Smoothed(raw, 0)
	near := NewNear(&c.Activity)
	for _, part := range [][2]float64{{2, 5}, {-1, 4}, {14, 40}, {35, 50}} {
		near.Cover(&c.Activity, part[0], part[1])
		for n := range len(raw) + 1 {
			assert.Equal(t, c.upTo(n), near.at(n), "part %v, up to value %d", part, n)
		}
		assert.InDelta(t, mean(c.smooth[330:1710]), near.Average(3.303, 17.103), 1e-9)
		assert.Zero(t, near.Average(7, 7))
		assert.Zero(t, near.Average(50, 60), "outside the recording")
	}
}

func mean(curve []float32) float64 {
	sum := 0.0
	for _, y := range curve {
		sum += float64(y)
	}
	return sum / float64(len(curve))
}

// A bound saves work and hides nothing that lies above it.
func TestACorrelationAboveTheBoundIsTheSameWithoutIt(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	raw := make([]float32, 1000)
	for i := range raw {
		if rng.IntN(30) == 0 {
			raw[i] = 1
		}
	}
	c := Smoothed(raw, 0)
	near := NewNear(&c.Activity)
	above := 0
	for range 20_000 {
		from := 8 * rng.Float64()
		to := from + 3*rng.Float64()
		times := make([]float64, 1+rng.IntN(6))
		for i := range times {
			times[i] = from + (to-from)*rng.Float64()
		}
		slices.Sort(times)
		inner, _ := near.At(times)
		want, ok := near.Correlation(inner, len(times), from, to, math.Inf(-1))
		least := 2*rng.Float64() - 1
		got, okToo := near.Correlation(inner, len(times), from, to, least)
		assert.Equal(t, ok, okToo)
		if want > least {
			above++
			assert.Equal(t, want, got)
		} else {
			assert.LessOrEqual(t, got, max(0, least))
		}
	}
	assert.Greater(t, above, 1000)
}

func TestWhatIsHeardAtATimeDoesNotDependOnThePart(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	raw := make([]float32, 4000)
	for i := range raw {
		raw[i] = float32(max(0, rng.NormFloat64()))
	}
	c := Smoothed(raw, 0)
	near, all := NewNear(&c.Activity), NewNear(&c.Activity)
	all.Cover(&c.Activity, 0, 41)
	for range 500 {
		at := 46*rng.Float64() - 3
		times := []float64{at, at + 0.4*rng.Float64(), at + 1 + 2*rng.Float64()}
		wide, height := near.At(times)
		wantWide, wantHeight := all.At(times)
		assert.Equal(t, wantWide, wide)
		assert.Equal(t, wantHeight, height)

		const delays = 50
		var along [2][delays]float64
		for _, time := range times {
			near.Along(along[0][:], along[1][:], time)
		}
		for k := range delays {
			later := make([]float64, len(times))
			for i, time := range times {
				later[i] = time + float64(k*DelaySteps)*Step
			}
			wide, height := all.At(later)
			assert.InDelta(t, wide, along[0][k], 1e-6, "from %g s", at)
			assert.InDelta(t, height, along[1][k], 1e-6)
		}
	}
}
