package plan

import (
	"fmt"
	"math"
	"math/rand/v2"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// groupsPerCell is the number of groups in each cell of a benchmark.
const groupsPerCell = 2000

// simulated is a group of which everything is known. It answers with the logistic
// item model that the tier scale is defined by and shares no code with what it
// tests.
type simulated struct {
	people         []float64 // abilities, tiers
	discrimination float64
}

// newSimulated draws a group: level from the prior, spread lognormal about 1.2,
// discrimination lognormal about 1.1 within 0.8–2: a little flatter and more mixed than the
// estimator expects.
func newSimulated(rng *rand.Rand, prior ability.Prior, people int) simulated {
	g := simulated{people: make([]float64, people)}
	for g.discrimination < 0.8 || g.discrimination > 2 {
		g.discrimination = 1.1 * math.Exp(0.3*rng.NormFloat64())
	}
	level := prior.Level + prior.LevelSD*rng.NormFloat64()
	spread := 1.2 * math.Exp(0.5*rng.NormFloat64())
	for i := range g.people {
		g.people[i] = level + spread*rng.NormFloat64()
	}
	return g
}

// share is the share expected to manage a phrase whose true difficulty is given.
func (g simulated) share(hard float64) float64 {
	sum := 0.0
	for _, ability := range g.people {
		sum += 1 / (1 + math.Exp(-g.discrimination*(ability-hard)))
	}
	return sum / float64(len(g.people))
}

// answer is the share that gets it this time.
func (g simulated) answer(rng *rand.Rand, hard float64) float64 {
	got := 0
	for _, ability := range g.people {
		if rng.Float64() < 1/(1+math.Exp(-g.discrimination*(ability-hard))) {
			got++
		}
	}
	return float64(got) / float64(len(g.people))
}

// tier is the true comfort tier.
func (g simulated) tier(highest int, comfort float64) int {
	tier := 0
	for tier < highest && g.share(float64(tier+1)) >= comfort {
		tier++
	}
	return tier
}

// room is a simulated warm-up: a group, the true difficulties of a bank's
// phrases, and a microphone.
type room struct {
	simulated
	truth map[string]float64
	noise float64
}

func newRoom(rng *rand.Rand, group simulated, phrases []patterns.Graded, noise float64) *room {
	r := &room{simulated: group, truth: map[string]float64{}, noise: noise}
	for _, g := range phrases {
		r.truth[g.ID] = g.Difficulty + g.SD*rng.NormFloat64()
	}
	return r
}

// hear plays a call and returns what the microphone makes of the answer.
func (r *room) hear(rng *rand.Rand, id string) float64 {
	share := r.answer(rng, r.truth[id]) + r.noise*rng.NormFloat64()
	return min(max(share, 0), 1)
}

// observe turns a heard share into what the estimator is told.
func (r *room) observe(g patterns.Graded, share float64) ability.Observation {
	return ability.Observation{
		Difficulty: g.Difficulty, DifficultySD: g.SD, Share: share, ShareSD: r.noise,
		People: len(r.people), Item: g.ID,
	}
}

// evenBank has phrases at even steps of difficulty from low to high, the first of
// them plain beats, all with the given error of difficulty.
func evenBank(low, high, step, sd float64) []patterns.Graded {
	var phrases []patterns.Graded
	for i := 0; low+float64(i)*step <= high+1e-9; i++ {
		hard := low + float64(i)*step
		phrases = append(phrases, patterns.Graded{
			Entry:      bank.Entry{ID: rung(i), Name: "Rung " + rung(i), Phrase: figure(i)},
			Difficulty: hard, Predicted: hard, SD: sd, Tier: tierscale.Tier(hard),
		})
	}
	return phrases
}

func mustParse(notation, meter string) rhythm.Phrase { return rhythm.MustParse(notation, meter, 96) }

func rung(i int) string {
	return fmt.Sprintf("rung-%04d", i)
}

// figure returns distinct rhythms: figure 0 is plain beats, others have some of
// the eighths between them.
func figure(i int) rhythm.Phrase {
	i %= 256
	strokes := []rhythm.Stroke{
		{Step: 0},
		{Step: 2},
		{Step: 4},
		{Step: 6},
		{Step: 8},
		{Step: 10},
		{Step: 12},
		{Step: 14},
	}
	if i == 0 {
		strokes = strokes[:4]
	}
	for bit := range 8 {
		if i&(1<<bit) != 0 {
			strokes = append(strokes, rhythm.Stroke{Step: 2*bit + 1})
		}
	}
	bars := 2
	if i == 0 {
		bars = 1
	}
	p, err := rhythm.New(fourFour, 96, bars, 2, strokes)
	if err != nil {
		panic(err)
	}
	return p
}

// levelSD is the standard deviation of the level after some rounds.
func levelSD(belief *ability.Posterior) float64 {
	_, sd := belief.Level()
	return sd
}
