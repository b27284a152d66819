package synth

import (
	"math"
	"testing"
)

// BenchmarkGenerate makes ninety seconds of twenty-five people in a hall.
func BenchmarkGenerate(b *testing.B) {
	scene := hallScene()
	seconds := 0.0
	for b.Loop() {
		r, err := Generate(scene)
		if err != nil {
			b.Fatal(err)
		}
		seconds = r.Truth.Duration
	}
	b.ReportMetric(seconds, "s_of_sound")
	b.ReportMetric(seconds*float64(b.N)/b.Elapsed().Seconds(), "x_real_time")
}

// BenchmarkFloor prints the mean absolute difference between participation and energy (at most 1)
// over sixty warm-ups: what remains between the two when everybody's claps are told apart
// perfectly.
func BenchmarkFloor(b *testing.B) {
	all, few := 0.0, 0.0
	for b.Loop() {
		sums, counts := [2]float64{}, [2]float64{}
		for _, s := range Suite(1, 60, Untouched, testBank()) {
			s, err := s.withDefaults()
			if err != nil {
				b.Fatal(err)
			}
			p := makePlan(s)
			m := newMixer(p, Material{}, nil)
			size := 0
			if s.Group.People <= 10 {
				size = 1
			}
			for i, r := range p.truth.Rounds {
				p.measure(i, m.weights)
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
