package plan

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// cardFigures are means over simulated groups.
type cardFigures struct {
	cardSD   float64
	randomSD []float64 // after 1, 2, 3 … calls
	nextSD   []float64
	calls    int
	plain    int // calls of the card on plain beats
}

// randomCalls is the number of calls in random order after which the level is as
// well known as after the card, with a fraction by interpolation.
func (f cardFigures) randomCalls() float64 { return callsFor(f.cardSD, f.randomSD) }

func callsFor(goal float64, sds []float64) float64 {
	for i, sd := range sds {
		if sd > goal {
			continue
		}
		if i == 0 {
			return 1
		}
		return float64(i) + (sds[i-1]-goal)/(sds[i-1]-sd)
	}
	return float64(len(sds) + 1) // more than were tried
}

// simulateCards lets groups answer a card, the same bank in random order, and the
// calls that Caller chooses, all with a recorder, and compares how well the level
// is then known.
func simulateCards(t testing.TB, bank []patterns.Graded, calls, groups int, seed uint64) cardFigures {
	const noise, people, most = 0.10, 25, 24
	rng := rand.New(rand.NewPCG(seed, 1))
	highest := 0
	byID := map[string]patterns.Graded{}
	for _, g := range bank {
		highest = max(highest, g.Tier)
		byID[g.ID] = g
	}
	prior := ability.PriorForTiers(highest)
	card, err := NewCard(bank, CardOptions{Calls: calls, Prior: prior, People: people})
	require.NoError(t, err)
	caller, err := NewCaller(bank, Microphone{ShareSD: noise, People: people})
	require.NoError(t, err)
	f := cardFigures{
		randomSD: make([]float64, most), nextSD: make([]float64, calls),
		calls: card.Calls(), plain: 2,
	}

	for range groups {
		r := newRoom(rng, newSimulated(rng, prior, people), bank, noise)
		f.cardSD += levelSD(followCard(t, rng, r, card, byID, prior)) / float64(groups)

		belief, err := ability.NewPosterior(prior)
		require.NoError(t, err)
		for k, i := range rng.Perm(len(bank))[:most] {
			belief, err = belief.Update(r.observe(bank[i], r.hear(rng, bank[i].ID)))
			require.NoError(t, err)
			f.randomSD[k] += levelSD(belief) / float64(groups)
		}

		belief, err = ability.NewPosterior(prior)
		require.NoError(t, err)
		var called []Called
		for k := range calls {
			call, ok := caller.Next(belief, called)
			require.True(t, ok)
			share := r.hear(rng, call.ID)
			called = append(called, Called{Phrase: call.ID, Share: share})
			belief, err = belief.Update(r.observe(call.Graded, share))
			require.NoError(t, err)
			f.nextSD[k] += levelSD(belief) / float64(groups)
		}
	}
	return f
}

// followCard goes through a card as a leader does who hears whether more than half
// of the room got it, with an error of 0.2.
func followCard(t testing.TB, rng *rand.Rand, r *room, card *Card, byID map[string]patterns.Graded,
	prior ability.Prior,
) *ability.Posterior {
	belief, err := ability.NewPosterior(prior)
	require.NoError(t, err)
	tries := map[string][]ability.Observation{}
	var order []string
	play := func(id string) (by float64) {
		share := r.hear(rng, id)
		if len(tries[id]) == 0 {
			order = append(order, id)
		}
		o := r.observe(byID[id], share)
		o.Attempt = len(tries[id]) + 1
		tries[id] = append(tries[id], o)
		return share + 0.2*rng.NormFloat64()
	}
	for _, call := range card.Opening {
		play(call.Phrase)
	}
	var got []bool
	for range card.Branchings() {
		calls, _ := card.Follow(got)
		got = append(got, play(calls[len(calls)-1].Phrase) > 0.5)
	}
	for _, call := range card.Closing {
		play(call.Phrase)
	}
	for _, id := range order {
		belief, err = belief.Update(tries[id]...)
		require.NoError(t, err)
	}
	return belief
}

// BenchmarkCardSavesCalls prints how many calls in random order it takes to know
// the level as well as after the card. All calls of the card are counted, also
// those on plain beats.
func BenchmarkCardSavesCalls(b *testing.B) {
	banks := []struct {
		name string
		bank []patterns.Graded
	}{
		{"even-bank", evenBank(1, 9, 0.25, 0.5)},
		{"starter-bank", patterns.GradeBank(difficulty.DefaultModel(), bank.Starter())},
	}
	for _, bank := range banks {
		for _, calls := range []int{8, 10, 12} {
			b.Run(fmt.Sprintf("%s/%d-calls", bank.name, calls), func(b *testing.B) {
				var f cardFigures
				for b.Loop() {
					f = simulateCards(b, bank.bank, calls, groupsPerCell, 7)
				}
				b.ReportMetric(f.cardSD, "sd-card")
				b.ReportMetric(f.nextSD[calls-1], "sd-next")
				b.ReportMetric(f.randomCalls(), "random-calls")
				b.ReportMetric(100*(1-float64(f.calls)/f.randomCalls()), "%saved")
				b.ReportMetric(100*(1-float64(f.calls-f.plain)/f.randomCalls()), "%saved-without-plain")
			})
		}
	}
}
