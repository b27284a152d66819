package assess

import (
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/warmups"
)

// BenchmarkSteadiness counts how many rounds, and how many tiers, stay as they were where a
// recording begins a moment earlier or is fainter, which changes nothing that anybody hears: where
// two readings of a round are nearly as good, a hair decides. Warm-ups are of the half that
// settings are not chosen on; SPLIT=tuning takes the other. VERBOSE=1 lists what changed.
func BenchmarkSteadiness(b *testing.B) {
	split := warmups.Untouched
	if os.Getenv("SPLIT") == "tuning" {
		split = warmups.Tuning
	}
	_, items := suiteBank()
	for b.Loop() {
		var rounds, same, tiers, sameTier float64
		for _, scene := range warmups.Suite(5, 32, split, items) {
			scene.Rate = audio.Rate
			recording, err := synth.Generate(scene)
			if err != nil {
				b.Fatal(err)
			}
			x := scaled(recording.Samples, 0.5)
			plain := reportOn(b, wav(audio.Rate, x))
			for change, sound := range map[string][]float32{
				"0.5 ms": slices.Concat(make([]float32, 8), x),
				"2.5 ms": slices.Concat(make([]float32, 40), x),
				"3.7 ms": slices.Concat(make([]float32, 59), x), "-20 dB": scaled(x, 0.1),
			} {
				again := reportOn(b, wav(audio.Rate, sound))
				for _, r := range plain.Rounds {
					rounds++
					if slices.ContainsFunc(again.Rounds, func(o Round) bool { return sameRound(r, o) }) {
						same++
					} else if os.Getenv("VERBOSE") != "" {
						fmt.Printf("%s %x, %s: %s at %.2f is gone\n", scene.Class, scene.Seed,
							change, name(r), r.Call.Start)
					}
				}
				tiers++
				if (plain.Group.Tier == nil) == (again.Group.Tier == nil) &&
					(plain.Group.Tier == nil || *plain.Group.Tier == *again.Group.Tier) {
					sameTier++
				}
			}
		}
		b.ReportMetric(same/rounds, "same-rounds")
		b.ReportMetric(sameTier/tiers, "same-tiers")
		b.ReportMetric(rounds, "rounds")
	}
}

// sameRound reports whether both rounds are the same phrase at the same time, answered at the same
// time.
func sameRound(a, b Round) bool {
	near := func(x, y float64) bool { return math.Abs(x-y) < 0.1 }
	if name(a) != name(b) || !near(a.Call.Start, b.Call.Start) || (a.Response == nil) != (b.Response == nil) {
		return false
	}
	return a.Response == nil || near(a.Response.Start, b.Response.Start)
}
