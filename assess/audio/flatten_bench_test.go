package audio

import (
	"cmp"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/figures"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/warmups"
)

// flatteners are classes of made-up warm-ups with what their recorder does to levels, the first
// nothing.
var flatteners = []string{
	"undisturbed", "narrow-band", "gated", "slow-levelling", "strong-levelling", "limiter", "hard-clipped",
	"call-chain",
}

// BenchmarkFlattening prints what the thresholds of tuning.go lie between: which share of the peaks is
// held at one height and how much the background is ducked, in clean recordings and in flattened ones
// of the same people, and how many are named for what they are. It takes about a minute.
func BenchmarkFlattening(b *testing.B) {
	const scenes = 16
	out := figures.To(b, "flattening.txt")
	for b.Loop() {
		fmt.Fprintf(out, "%-17s %12s %6s %6s   %11s %6s %6s   %s\n", "recorder",
			"held from", "median", "to", "ducked from", "median", "to", "named")
		for _, class := range flatteners {
			preset, ok := warmups.PresetNamed(class)
			require.True(b, ok)
			var held, ducked []float64
			named := map[string]int{}
			for i := range scenes {
				c := heardBy(b, preset.Scene(warmups.SessionSeed(77, i, warmups.Tuning), nil))
				share := 0.0
				if c.health.peaks.crowded() > 0 {
					share = c.health.peaks.heights.held()
				}
				held = append(held, share)
				ducked = append(ducked, c.ducking.depth())
				named[c.Flattening().Code]++
			}
			slices.Sort(held)
			slices.Sort(ducked)
			fmt.Fprintf(out, "%-17s %12.2f %6.2f %6.2f   %11.1f %6.1f %6.1f  ", class,
				held[0], held[scenes/2], held[scenes-1], ducked[0], ducked[scenes/2], ducked[scenes-1])
			for _, code := range []string{"", clipped, overdriven, levelled, gainRiding} {
				if n := named[code]; n > 0 {
					fmt.Fprintf(out, " %d %s", n, cmp.Or(code, "none"))
				}
			}
			fmt.Fprintln(out)
		}
	}
}

func heardBy(tb testing.TB, scene synth.Scene) *chain {
	tb.Helper()
	r, err := synth.Generate(scene)
	require.NoError(tb, err)
	l, err := NewLive(r.Rate, 1, Options{})
	require.NoError(tb, err)
	_, err = l.Write(r.Samples)
	require.NoError(tb, err)
	_, err = l.Finish()
	require.NoError(tb, err)
	return &l.chain
}
