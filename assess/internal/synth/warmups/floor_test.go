package warmups

import (
	"math"
	"testing"

	"clapladder.example/assess/internal/synth"
)

// BenchmarkFloor prints the mean absolute difference between participation and energy (at most 1)
// over sixty warm-ups: what remains between the two when everybody's claps are told apart
// perfectly.
func BenchmarkFloor(b *testing.B) {
	all, few := 0.0, 0.0
	for b.Loop() {
		sums, counts := [2]float64{}, [2]float64{}
		for _, s := range Suite(1, 60, Untouched, ladder()) {
			truth, err := synth.SilentTruth(s)
			if err != nil {
				b.Fatal(err)
			}
			size := 0
			if truth.People <= 10 {
				size = 1
			}
			for _, r := range truth.Rounds {
				if r.Response == nil {
					continue
				}
				for _, n := range r.Response.Notes {
					sums[size] += math.Abs(math.Min(n.Energy, 1) - n.Participation)
					counts[size]++
				}
			}
		}
		all, few = (sums[0]+sums[1])/(counts[0]+counts[1]), sums[1]/counts[1]
	}
	b.ReportMetric(all, "mae")
	b.ReportMetric(few, "mae_10_or_fewer")
}
