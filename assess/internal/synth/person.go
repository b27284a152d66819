package synth

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// Timing of one person, from tapping to an even beat of 600 ms by 30 adults (Bååth & Madison 2012,
// ICMPC 12, open data, re-analysed): people's mean asynchronies average −40 ms with SD 21 ms
// between people; the SD within a person has its median at 32 ms, 5.4 % of the beat.
const (
	habitMean    = -0.040
	habitSD      = 0.021
	jitterMedian = 0.032
	jitterBeat   = 0.6 // seconds, the beat those figures were taken at
	jitterLeast  = 0.015
	jitterMost   = 0.050
)

// jitterBySkill is how much steadier a person gets with each tier. A guess: trained tappers (2 % of
// the beat) would sit eight tiers above untrained ones.
const jitterBySkill = 0.12

// How much the level of one person's claps varies, SD in dB. Measured on 20 phone recordings of
// single clappers: 1.5 to 6.6, changes of dynamics that were meant included; the lower end is taken
// here, because people who answer in a group do not change theirs.
const (
	variationLeast = 1.0
	variationMost  = 3.0
)

// soundSpeed in metres a second at 20 °C.
const soundSpeed = 343.0

// person is one member of the group.
type person struct {
	level     float64 // tier scale
	habit     float64 // seconds, usual asynchrony
	jitter    float64 // seconds, SD around the habit at a beat of 600 ms
	gain      float64 // usual amplitude of a stroke, 1 in the middle of the group
	variation float64 // dB, SD from stroke to stroke
	distance  float64 // metres to the phone
	habits    Habits  // of the group
}

func (p person) delay() float64 { return p.distance / soundSpeed }

// drawPeople draws the group.
func drawPeople(g Group, rng *rand.Rand) []person {
	people := make([]person, g.People)
	for i := range people {
		p := &people[i]
		p.habits = g.Habits
		p.level = g.Level + drawDeviation(g.Mix, i, rng)
		p.habit = habitMean + habitSD*g.Looseness*rng.NormFloat64()
		skill := jitterBySkill * (1 - g.Habits.Even) * (p.level - 3)
		steady := jitterMedian * math.Exp(-skill+0.22*rng.NormFloat64())
		p.jitter = clamp(steady, jitterLeast, jitterMost) * g.Looseness
		p.gain = decibels(g.LoudnessSD * clamp(rng.NormFloat64(), -2.5, 2.5))
		p.variation = between(rng, variationLeast, variationMost)
		p.distance = g.Near + (g.Far-g.Near)*rng.Float64()
	}
	return people
}

// drawDeviation draws how far person i is from the middle of the group.
func drawDeviation(m Mix, i int, rng *rand.Rand) float64 {
	switch m {
	case Varied:
		return 1.2 * rng.NormFloat64()
	case Thirds:
		return 2*float64(i%3-1) + 0.5*rng.NormFloat64()
	default:
		return 0.5 * rng.NormFloat64()
	}
}

// chance is the probability that a person of the given level gets a phrase: the Rasch model, as
// steep as the group is.
func chance(level, difficulty, steepness float64) float64 {
	return 1 / (1 + math.Exp(steepness*(difficulty-level)))
}

// stream returns the random numbers for one purpose. Streams of different names are independent, so
// that drawing more numbers for one thing leaves everything else as it was.
func stream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(name))
	return rand.New(rand.NewPCG(scatter(seed), h.Sum64()))
}

// decibels turns a level into an amplitude factor.
func decibels(db float64) float64 { return math.Pow(10, db/20) }

func clamp(x, least, most float64) float64 { return math.Max(least, math.Min(most, x)) }

// between draws evenly from a range.
func between(rng *rand.Rand, least, most float64) float64 { return least + (most-least)*rng.Float64() }
