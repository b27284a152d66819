package difficulty

import (
	"testing"

	"clapladder.example/patterns/internal/testphrase"
)

func BenchmarkDifficultyOfOneBar(b *testing.B) {
	phrases := testphrase.OneBar()
	m := DefaultModel()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		m.Difficulty(phrases[i%len(phrases)])
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "phrases/s")
}
