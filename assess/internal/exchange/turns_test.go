package exchange

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess/internal/onset"
)

// hammering is two minutes of two people who hammer in turn in a workshop: each a few strokes,
// evenly, as they come, and now and then as many as the other.
func hammering(seed uint64) []float32 {
	const rate = onset.SampleRate
	rng := rand.New(rand.NewPCG(seed, 21))
	sound := make([]float32, 120*rate)
	for i := range sound {
		sound[i] = float32(1e-4 * rng.NormFloat64())
	}
	strike := func(at, hz, loud float64) {
		for i := range rate / 2 {
			t := float64(i) / rate
			x := math.Sin(2*math.Pi*hz*t)*math.Exp(-t/0.02) + 0.6*rng.NormFloat64()*math.Exp(-t/0.004)
			x += 0.1 * rng.NormFloat64() * math.Exp(-t/0.09) // the room
			if k := int(at*rate) + i; k < len(sound) {
				sound[k] += float32(loud * x)
			}
		}
	}
	one, other := 300+400*rng.Float64(), 1200+1500*rng.Float64()
	for at := 0.7; at < 116; at += 1.5 * rng.ExpFloat64() {
		pace := 0.35 + 0.4*rng.Float64()
		for who := range 1 + rng.IntN(2) {
			hz, loud := one, 0.3
			if who == 1 {
				hz, loud = other, 0.12
			}
			for range 2 + rng.IntN(4) {
				strike(at, hz, loud*(0.7+0.5*rng.Float64()))
				at += pace * (1 + 0.04*rng.NormFloat64())
			}
			at += 0.1 + 0.4*rng.Float64()
		}
	}
	return sound
}

// Two sources, a pause between them, sometimes the same count: what gives hammering away is its even
// strokes, its uneven pauses, and the many strokes of the same two sounds that no round explains.
func TestTwoWhoHammerInTurnAreNoExchange(t *testing.T) {
	for seed := range uint64(6) {
		a, found := listened(t, hammering(seed))
		j := Judge(a, found)
		assert.Less(t, j.Probability, 0.5, "seed %d", seed)
		assert.Contains(t, []Sound{Knocking, OnePerson}, Kind(a), "seed %d", seed)
	}
}
