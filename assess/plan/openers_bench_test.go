package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
)

// openerFigures are shares of simulated groups.
type openerFigures struct {
	playable   float64 // the comfort share truly manages the main choice
	notTooEasy float64 // true comfort tier at most one above that of the main choice
	exact      float64 // same tier
	chance     float64 // mean of what was said
	stretch    float64 // groups that truly manage the stretch
	safe       float64 // and the sure start
}

// evenRepertoire has a piece at each step of difficulty, each with a support part
// a tier and a half easier and a lead part a tier and a half harder.
func evenRepertoire(low, high, step, sd float64) []patterns.GradedPiece {
	var pieces []patterns.GradedPiece
	for i, g := range evenBank(low, high, step, sd) {
		part := func(name string, role bank.Role, by float64) patterns.GradedPart {
			hard := max(g.Difficulty+by, tierscale.Min)
			return patterns.GradedPart{
				Part:       bank.Part{Name: name, Role: role, Phrase: figure(i)},
				Difficulty: hard, Predicted: hard, SD: sd, Tier: tierscale.Tier(hard),
			}
		}
		pieces = append(pieces, patterns.GradedPiece{
			Piece:      bank.Piece{ID: g.ID, Name: g.Name},
			Difficulty: g.Difficulty, Predicted: g.Difficulty, SD: sd, Tier: g.Tier,
			Parts: []patterns.GradedPart{
				part("core", bank.Core, 0), part("keel", bank.Support, -1.5), part("pennant", bank.Lead, 1.5),
			},
		})
	}
	return pieces
}

// simulateOpeners warms up groups with the calls that Caller chooses and picks
// openers for each. Groups whose true tier lies outside the repertoire are
// left out: nothing fits them.
func simulateOpeners(t testing.TB, bank []patterns.Graded, pieces []patterns.GradedPiece,
	honest float64, rounds, groups int, noise float64, seed uint64,
) openerFigures {
	const people, highest = 25, 9
	rng := rand.New(rand.NewPCG(seed, 2))
	prior := ability.PriorForTiers(highest)
	caller, err := NewCaller(bank, Microphone{ShareSD: noise, People: people})
	require.NoError(t, err)
	var f openerFigures
	counted := 0.0
	stretches, safes := 0.0, 0.0
	for range groups {
		group := newSimulated(rng, prior, people)
		tier := group.tier(highest+2, ability.DefaultComfort)
		if tier < 1 || tier > highest-1 {
			continue
		}
		counted++
		r := newRoom(rng, group, bank, noise)
		belief, err := ability.NewPosterior(prior)
		require.NoError(t, err)
		var called []Called
		for range rounds {
			call, ok := caller.Next(belief, called)
			require.True(t, ok)
			share := r.hear(rng, call.ID)
			called = append(called, Called{Phrase: call.ID, Share: share})
			belief, err = belief.Update(r.observe(call.Graded, share))
			require.NoError(t, err)
		}
		o, err := Choose(Request{Pieces: pieces, Belief: belief})
		require.NoError(t, err)
		truth := func(c *Choice) float64 {
			for _, p := range pieces {
				if p.ID == c.Piece {
					return p.Difficulty + honest*p.SD*rng.NormFloat64()
				}
			}
			return math.NaN()
		}
		managed := func(hard float64) float64 {
			if group.share(hard) >= ability.DefaultComfort {
				return 1
			}
			return 0
		}
		main := truth(o.Main)
		f.playable += managed(main)
		f.chance += o.Main.Chance
		switch apart := tier - tierscale.Tier(main); {
		case apart == 0:
			f.exact++
			fallthrough
		case apart <= 1:
			f.notTooEasy++
		}
		if o.Stretch != nil {
			stretches++
			f.stretch += managed(truth(o.Stretch))
		}
		if o.Safe != nil {
			safes++
			f.safe += managed(truth(o.Safe))
		}
	}
	f.playable /= counted
	f.notTooEasy /= counted
	f.exact /= counted
	f.chance /= counted
	f.stretch /= max(stretches, 1)
	f.safe /= max(safes, 1)
	return f
}

// BenchmarkOpeners prints how often the main choice is playable and how often it
// is not more than one tier too easy.
func BenchmarkOpeners(b *testing.B) {
	starter := patterns.GradeRepertoire(difficulty.DefaultModel(), bank.StarterRepertoire())
	for _, c := range []struct {
		name   string
		rounds int
		noise  float64
		honest float64 // true error of the pieces' hard, as a share of the stated
		pieces []patterns.GradedPiece
	}{
		{"even-repertoire", 8, 0.10, 1, evenRepertoire(0.5, 9.5, 0.25, 0.5)},
		{"even-repertoire", 6, 0.15, 1, evenRepertoire(0.5, 9.5, 0.25, 0.5)},
		{"sparse-repertoire", 8, 0.10, 1, evenRepertoire(0.5, 9.5, 0.75, 0.5)},
		{"model-graded", 8, 0.10, 1, evenRepertoire(0.5, 9.5, 0.5, 0.9)},
		{"model-graded", 8, 0.10, 0.5, evenRepertoire(0.5, 9.5, 0.5, 0.9)},
		{"starter-repertoire", 8, 0.10, 1, starter},
		{"starter-repertoire", 8, 0.10, 0, starter},
	} {
		bank := evenBank(1, 9, 0.25, 0.5)
		b.Run(fmt.Sprintf("%s/%d-rounds/noise-%.2f/error-%.1f", c.name, c.rounds, c.noise,
			c.honest), func(b *testing.B) {
			var f openerFigures
			for b.Loop() {
				f = simulateOpeners(b, bank, c.pieces, c.honest, c.rounds, groupsPerCell, c.noise, 11)
			}
			b.ReportMetric(f.playable, "playable")
			b.ReportMetric(f.notTooEasy, "not-too-easy")
			b.ReportMetric(f.exact, "same-tier")
			b.ReportMetric(f.chance, "said")
			b.ReportMetric(f.safe, "safe-managed")
			b.ReportMetric(f.stretch, "stretch-managed")
		})
	}
}
