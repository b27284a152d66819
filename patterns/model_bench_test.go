package patterns

import (
	"testing"

	"clapladder.example/rhythm"
)

func BenchmarkDifficultyOfOneBar(b *testing.B) {
	phrases := oneBarPhrases()
	m := DefaultModel()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		m.Difficulty(phrases[i%len(phrases)])
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "phrases/s")
}

func BenchmarkGradeBank(b *testing.B) {
	bank := &Bank{}
	for i, p := range oneBarPhrases() {
		bank.Entries = append(bank.Entries, Entry{ID: "p", Phrase: p, Tier: i % 3})
	}
	b.ReportAllocs()
	for b.Loop() {
		GradeBank(DefaultModel(), bank)
	}
	b.ReportMetric(float64(b.N*len(bank.Entries))/b.Elapsed().Seconds(), "phrases/s")
}

// oneBarPhrases is every bar of 16 sixteenths in 4/4 that begins with a stroke, each eleventh of them.
func oneBarPhrases() []rhythm.Phrase {
	meter := rhythm.MustParseMeter("4/4")
	var phrases []rhythm.Phrase
	for bits := 1; bits < 1<<16; bits += 2 * 11 {
		var strokes []rhythm.Stroke
		for step := range 16 {
			if bits>>step&1 != 0 {
				strokes = append(strokes, rhythm.Stroke{Step: step})
			}
		}
		p, err := rhythm.New(meter, 96, 1, 4, strokes)
		if err != nil {
			panic(err)
		}
		phrases = append(phrases, p)
	}
	return phrases
}
