package people

import (
	"math"
	"math/rand/v2"

	"clapladder.example/assess/internal/synth/signal"
)

// Timing of one person, from tapping to an even beat of 600 ms by 30 adults (Bååth & Madison 2012,
// ICMPC 12, open data, re-analysed): people's mean asynchronies average −40 ms with SD 21 ms
// between people; the SD within a person has its median at 32 ms, 5.4 % of the beat.
const (
	HabitMean    = -0.040
	HabitSD      = 0.021
	jitterMedian = 0.032
	JitterBeat   = 0.6 // seconds, the beat those figures were taken at
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

// Person is one member of the group.
type Person struct {
	Level     float64 // tier scale
	Habit     float64 // seconds, usual asynchrony
	Jitter    float64 // seconds, SD around the habit at a beat of 600 ms
	Gain      float64 // usual amplitude of a stroke, 1 in the middle of the group
	Variation float64 // dB, SD from stroke to stroke
	Distance  float64 // metres to the phone
	Habits    Habits  // of the group
}

// Delay is the seconds that sound takes to the phone.
func (p Person) Delay() float64 { return p.Distance / signal.SoundSpeed }

// Draw draws the group.
func Draw(g Group, rng *rand.Rand) []Person {
	people := make([]Person, g.People)
	for i := range people {
		p := &people[i]
		p.Habits = g.Habits
		p.Level = g.Level + drawDeviation(g.Mix, i, rng)
		p.Habit = HabitMean + HabitSD*g.Looseness*rng.NormFloat64()
		skill := jitterBySkill * (1 - g.Habits.Even) * (p.Level - 3)
		steady := jitterMedian * math.Exp(-skill+0.22*rng.NormFloat64())
		p.Jitter = signal.Clamp(steady, jitterLeast, jitterMost) * g.Looseness
		p.Gain = signal.FromDB(g.LoudnessSD * signal.Clamp(rng.NormFloat64(), -2.5, 2.5))
		p.Variation = signal.Between(rng, variationLeast, variationMost)
		p.Distance = g.Near + (g.Far-g.Near)*rng.Float64()
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

// Chance is the probability that a person of the given level gets a phrase: the Rasch model, as
// steep as the group is.
func Chance(level, difficulty, steepness float64) float64 {
	return 1 / (1 + math.Exp(steepness*(difficulty-level)))
}
