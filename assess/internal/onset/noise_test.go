package onset_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
)

// noisy adds steady noise of a level to a hall.
func (h *hall) noisy(level float64) *hall {
	for i := range h.samples {
		h.samples[i] += float32(level * h.rng.NormFloat64())
	}
	return h
}

// heardOf counts the times that have a burst within 50 ms.
func heardOf(times []float64, bursts []onset.Burst) (heard int) {
	for _, at := range times {
		for _, b := range bursts {
			if math.Abs(b.Time-at) <= 0.05 {
				heard++
				break
			}
		}
	}
	return heard
}

// crowded adds the claps of a crowd farther away, two hundred a second at random, of a mean power.
func (h *hall) crowded(power float64) *hall {
	var hands [8][]float32
	for i := range hands {
		one := hall{make([]float32, onset.SampleRate/4), h.rng, 0.03, 0.4}
		one.clap(0, 0.5+h.rng.Float64())
		hands[i] = one.samples
	}
	crowd := make([]float32, len(h.samples))
	for range 200 * len(crowd) / onset.SampleRate {
		from := h.rng.IntN(len(crowd))
		for i, x := range hands[h.rng.IntN(len(hands))][:min(onset.SampleRate/4, len(crowd)-from)] {
			crowd[from+i] += x
		}
	}
	mean := 0.0
	for _, x := range crowd {
		mean += float64(x) * float64(x) / float64(len(crowd))
	}
	scale := float32(math.Sqrt(power / mean))
	for i, x := range crowd {
		h.samples[i] += scale * x
	}
	return h
}

func TestClapsAreJudgedAgainstTheNoiseAroundThem(t *testing.T) {
	for _, test := range []struct {
		name  string
		over  float64 // dB of a clap's first 40 ms over the crowd
		least float64 // share found
	}{{"10 dB over the crowd", 10, 0.95}, {"4 dB over the crowd", 4, 0.7}} {
		t.Run(test.name, func(t *testing.T) {
			// Mean power of a clap of 3 ms over 40 ms.
			const amplitude, power = 0.3, 0.3 * 0.3 * 0.003 / 2 / 0.040
			h := newHall(40, 0, 1)
			var times []float64
			for at := 0.5; at < 39; at += 0.3 + 0.4*h.rng.Float64() {
				times = append(times, at)
				h.clap(at, amplitude)
			}
			found := burstsOf(t, h.crowded(power*math.Pow(10, -test.over/10)).samples)
			heard := heardOf(times, found)
			t.Logf("%d of %d, %d listed", heard, len(times), len(found))
			assert.GreaterOrEqual(t, float64(heard), test.least*float64(len(times)))
			assert.GreaterOrEqual(t, float64(heard), 0.8*float64(len(found)), "listed without a clap")
		})
	}
}

func TestNoiseAloneIsHardlyActivity(t *testing.T) {
	activity := func(h *hall) (sum float64) {
		samples := sound(h.samples)
		a, err := onset.Analyse(context.Background(), &samples)
		require.NoError(t, err)
		for _, x := range a.Activity(false) {
			sum += x
		}
		return sum
	}
	quiet, claps, both := newHall(20, 0.05, 0.6).noisy(0.02), newHall(20, 0.05, 0.6), newHall(20, 0.05, 0.6)
	for at := 0.5; at < 19; at += 0.6 {
		claps.clap(at, 0.3)
		both.clap(at, 0.3)
	}
	want := activity(claps)
	assert.Less(t, activity(quiet), 0.12*want)
	assert.InEpsilon(t, want, activity(both.noisy(0.02)), 0.25)
}
