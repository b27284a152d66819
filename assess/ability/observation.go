package ability

import (
	"cmp"
	"fmt"
	"math"
)

// Figures used where an observation leaves them open.
const (
	// DefaultShareSD is the microphone's error of a share when nothing better
	// is known; 0.10 is typical of a good room.
	DefaultShareSD = 0.15
	// DefaultVerdictSD is the error of a share judged by ear in three steps.
	DefaultVerdictSD = 0.20

	// An unknown number of people counts as 21.5: the harmonic mean of sizes
	// between 10 and 60 when all ratios are equally likely, because it is 1/N
	// that enters the variance.
	unknownPeople = 21.5

	// baseDoubt is the chance that a round that looks sound is not what it
	// seems: another phrase, a false start, a passing lorry. One in twenty.
	baseDoubt = 0.05

	// minShareSD keeps the likelihood wider than the grid.
	minShareSD = 0.02

	maxDifficulty = 50
	maxPeople     = 100_000
)

// Observation is one round: a phrase and the share of the group that got it.
type Observation struct {
	// Difficulty of the phrase, tiers, and the standard deviation of its error.
	// Zero DifficultySD means the difficulty is exact.
	Difficulty, DifficultySD float64
	// Share of the group that got the phrase, as measured: it may lie outside 0–1,
	// where an error took it. ShareSD is the error of the measurement alone, without
	// chance among the people; zero means DefaultShareSD (DefaultVerdictSD for
	// a verdict).
	Share, ShareSD float64
	// Reading says what a true share is measured as; nil: as itself, with ShareSD.
	Reading *Reading
	// Verdict replaces Share when it is not NoVerdict.
	Verdict Verdict
	// People is the number of people; 0 means unknown.
	People int
	// Doubt is the chance, 0–1, that the round is not what it seems, for example
	// one minus the confidence that the phrase was recognised. A small basic
	// doubt is always added.
	Doubt float64
	// Item names the phrase. Rounds with the same non-empty Item share the error
	// of its difficulty.
	Item string
	// Attempt counts the tries at the same phrase; 0 and 1 are the first.
	Attempt int
}

// Reading says what a measurement makes of a true share p: it is normal with a mean and a variance
// that are polynomials in p, the constant first. A measurement that is the best guess of the share
// keeps to the middle and errs most there; taken for the share itself, it would make every group
// more mixed and hard phrases easier than they are.
type Reading struct {
	Mean     [3]float64 `json:"mean"`
	Variance [3]float64 `json:"variance"`
}

// leastReadingSD is the least error that is believed of a reading.
const leastReadingSD = 0.06

// At is the mean for a true share, 0 to 1, how fast it rises there, and the variance.
func (r *Reading) At(p float64) (mean, slope, variance float64) {
	mean = r.Mean[0] + p*(r.Mean[1]+p*r.Mean[2])
	slope = r.Mean[1] + 2*p*r.Mean[2]
	variance = r.Variance[0] + p*(r.Variance[1]+p*r.Variance[2])
	return mean, slope, max(variance, leastReadingSD*leastReadingSD)
}

func (r *Reading) check() error {
	if r == nil {
		return nil
	}
	for i := range r.Mean {
		err := firstError(
			within("mean of a reading", r.Mean[i], -mostReading, mostReading),
			within("variance of a reading", r.Variance[i], -mostReading, mostReading),
		)
		if err != nil {
			return err
		}
	}
	return nil
}

const mostReading = 10 // of a coefficient

// InputError says which number was unusable and what is allowed.
type InputError struct {
	Field     string  // what the number is, in words
	Value     float64 // as given
	Low, High float64 // range allowed, both ends included
}

// Error names the field, the value and the allowed range.
func (e *InputError) Error() string {
	return fmt.Sprintf("%s is %v; give a number from %v to %v", e.Field, e.Value, e.Low, e.High)
}

// within returns an *InputError unless low ≤ x ≤ high.
func within(field string, x, low, high float64) error {
	if x >= low && x <= high {
		return nil
	}
	return &InputError{Field: field, Value: x, Low: low, High: high}
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func (o Observation) check() error {
	return firstError(
		within("difficulty", o.Difficulty, -maxDifficulty, maxDifficulty),
		within("difficulty SD", o.DifficultySD, 0, 5),
		within("share", o.Share, -math.MaxFloat64, math.MaxFloat64),
		within("share SD", o.ShareSD, 0, 1),
		within("verdict", float64(o.Verdict), float64(NoVerdict), float64(Got)),
		within("number of people", float64(o.People), 0, maxPeople),
		within("doubt", o.Doubt, 0, 1),
		within("attempt", float64(o.Attempt), 0, 1000),
		o.Reading.check(),
	)
}

// usable reports whether the round counts towards the number needed to state a
// tier: more likely than not it is what it seems.
func (o Observation) usable() bool { return o.Doubt < 0.5 }

// noise returns what is known of the round's precision before it is heard.
func (o Observation) noise() Noise {
	n := Noise{ShareSD: o.ShareSD, DifficultySD: o.DifficultySD, People: o.People}
	if n.ShareSD == 0 && o.Verdict != NoVerdict {
		n.ShareSD = DefaultVerdictSD
	}
	return n
}

// Noise describes how precisely a round will be observed, see Observation for
// the fields.
type Noise struct {
	ShareSD      float64 // standard deviation of a share, 0 to 1; 0: DefaultShareSD
	DifficultySD float64 // standard deviation of the difficulty, tiers
	People       int     // in the group; 0: unknown
}

// variances returns the variance of the share that the measurement adds, and
// one over the number of people.
func (n Noise) variances() (measurement, perPerson float64) {
	sd := cmp.Or(n.ShareSD, DefaultShareSD)
	sd = max(sd, minShareSD)
	people := cmp.Or(float64(n.People), unknownPeople)
	return sd * sd, 1 / people
}

func (n Noise) check() error {
	return Observation{ShareSD: n.ShareSD, DifficultySD: n.DifficultySD, People: n.People}.check()
}
