package synth

import (
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
