package ability

import "testing"

// The sizes leaders meet: a bank of 500 phrases, a warm-up of eight rounds.

func benchRounds() []Observation {
	var rounds []Observation
	for i, share := range []float64{0.9, 0.7, 0.5, 0.75, 0.3, 0.6, 0.65, 0.8} {
		rounds = append(rounds, Observation{
			Difficulty: 2 + float64(i%5), DifficultySD: 0.5,
			Share: share, ShareSD: 0.1, People: 25,
		})
	}
	return rounds
}

func BenchmarkRank500(b *testing.B) {
	candidates := make([]float64, 500)
	for i := range candidates {
		candidates[i] = 1 + float64(i)*8/499
	}
	noise := Noise{ShareSD: 0.1, DifficultySD: 0.5, People: 25}
	for _, heard := range []int{0, 4, 8} {
		session, err := NewSession(Settings{Tiers: 9})
		if err != nil {
			b.Fatal(err)
		}
		for _, o := range benchRounds()[:heard] {
			if err := session.Add(o); err != nil {
				b.Fatal(err)
			}
		}
		p := session.Posterior()
		scorer, err := NewScorer(noise, DefaultComfort)
		if err != nil {
			b.Fatal(err)
		}
		b.Run([]string{0: "first", 4: "fifth", 8: "ninth"}[heard], func(b *testing.B) {
			for b.Loop() {
				if _, err := scorer.Rank(p, candidates); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkEstimate8(b *testing.B) {
	rounds := benchRounds()
	for b.Loop() {
		if _, err := Estimate(Settings{Tiers: 9}, rounds); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTables(b *testing.B) {
	for b.Loop() {
		buildCurves()
	}
}
