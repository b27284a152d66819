package patterns

import (
	"math"
	"strconv"
	"testing"

	"clapladder.example/patterns/internal/testphrase"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// BenchmarkGradeParsed grades one-bar phrases that are already parsed. The metric exponent is how
// fast the time grows with their number, from 10,000 on.
func BenchmarkGradeParsed(b *testing.B) {
	var bars []rhythm.Phrase
	for _, e := range bank.Starter().Entries {
		if e.Phrase.Bars() == 1 {
			bars = append(bars, e.Phrase)
		}
	}
	model := difficulty.DefaultModel()
	smallest := 0.0
	for _, size := range []int{1, 10_000, 1_000_000} {
		b.Run(strconv.Itoa(size), func(b *testing.B) {
			sum := 0.0
			for b.Loop() {
				for i := range size {
					sum += model.Difficulty(bars[i%len(bars)])
				}
			}
			if !(sum > 0) {
				b.Fatal("nothing graded")
			}
			each := b.Elapsed().Seconds() / float64(b.N)
			if size == 10_000 {
				smallest = each
			} else if size > 10_000 && smallest > 0 {
				b.ReportMetric(math.Log(each/smallest)/math.Log(float64(size)/10_000), "exponent")
			}
		})
	}
}

func BenchmarkGradeBank(b *testing.B) {
	placed := &bank.Bank{}
	for i, p := range testphrase.OneBar() {
		placed.Entries = append(placed.Entries, bank.Entry{ID: "p", Phrase: p, Tier: i % 3})
	}
	b.ReportAllocs()
	for b.Loop() {
		GradeBank(difficulty.DefaultModel(), placed)
	}
	b.ReportMetric(float64(b.N*len(placed.Entries))/b.Elapsed().Seconds(), "phrases/s")
}
