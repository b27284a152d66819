package sounds

import (
	"math"
	"math/rand/v2"

	"clapladder.example/assess/internal/synth/signal"
)

// TakeClaps gives an instrument recorded claps in place of its own, with the energy that claps have here.
func (n *Instrument) TakeClaps(hands [][]float64, rng *rand.Rand) {
	pitch := math.Exp(0.05 * signal.Clamp(rng.NormFloat64(), -2, 2))
	for range variants {
		hand := hands[rng.IntN(len(hands))]
		wave := resampled(hand, pitch*math.Exp(0.02*signal.Clamp(rng.NormFloat64(), -2, 2)))
		energy := 1e-30
		for _, v := range wave {
			energy += v * v
		}
		scale := math.Sqrt(float64(n.rate) / 16000 / energy)
		for i := range wave {
			wave[i] *= scale
		}
		n.sounds[Clap] = append(n.sounds[Clap], wave)
	}
}

// resampled plays x faster by a factor near 1. Linear between samples: what that takes from the treble
// differs from clap to clap as hands do.
func resampled(x []float64, factor float64) []float64 {
	out := make([]float64, max(1, int(float64(len(x)-1)/factor)))
	for i := range out {
		at := float64(i) * factor
		k := min(int(at), len(x)-1)
		out[i] = x[k]
		if k+1 < len(x) {
			out[i] += (at - float64(k)) * (x[k+1] - x[k])
		}
	}
	return out
}
