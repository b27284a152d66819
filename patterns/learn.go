package patterns

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
)

// Lesson is what outcomes teach about a bank.
type Lesson struct {
	Phrases []Learned    // that have outcomes, the largest move first
	Others  []Learned    // never called, but like those that were; the largest move first
	Groups  []GroupLevel // in the order in which they first appear
	Unknown []string     // phrases of the outcomes that the bank does not have, in order of appearance
}

// Learned is a phrase whose difficulty was fitted to outcomes.
type Learned struct {
	ID       string  // of the phrase
	Before   float64 // difficulty as graded, tiers
	After    float64 // as fitted
	Moved    float64 // After - Before
	SD       float64 // of After, logits
	Outcomes int     // answers to this phrase; 0 where it was never called
	Groups   int     // groups that gave them
}

// GroupLevel is the level of a group on the tier scale, fitted together with the phrases.
type GroupLevel struct {
	Group    string  // as named in the outcomes
	Level    float64 // half of the group gets a phrase of this difficulty
	SD       float64 // logits
	Outcomes int     // answers seen
}

// What a fit to outcomes assumes, by hand. The steepness is at the lower end of what is published
// (0.93 and 1.65): in made-up warm-ups with steeper people it does no worse, and a steep one does
// worse with flatter people.
const (
	outcomeSD     = 0.15  // error of a share where none is given: one microphone, or by ear
	levelSD       = 2.0   // of the levels of groups around the middle of the bank, tiers
	assumedSteep  = 1.0   // steepness of a person's chance, per tier: not estimated, as a warm-up's is
	mixSD         = 1.0   // of the levels of people in one group, tiers
	interactionSD = 0.65  // how much easier or harder a phrase may be for one group, logits
	phraseSD      = 0.75  // of what no weight explains: wider than in the data behind the model, logits
	leastSD       = 0.05  // of a learned difficulty as stated, tiers
	mostSD        = 3.0   // the same
	maxJoint      = 2_000 // groups or phrases, whichever are fewer: the fit solves for all at once
)

// mixSlope is how fast shares change with difficulty: the steepness of one person's chance,
// flattened by the spread of levels (the usual approximation of a logistic by a normal curve;
// MacKay 1992).
var mixSlope = assumedSteep / math.Sqrt(1+0.346*math.Pow(assumedSteep*mixSD, 2))

// ErrNothingToLearn is returned where no outcome belongs to a phrase of the bank.
var ErrNothingToLearn = errors.New("no result belongs to a phrase of the bank")

// Learn fits the difficulties of the phrases that have outcomes, together with the levels of the
// groups and with corrections to the weights of the model, so that phrases nobody has called move
// with those they are like. A phrase starts from what the model predicts, or from the tier where
// the leader gives one, and moves as far as its outcomes weigh against that: with few, hardly at
// all. Several answers of one group to one phrase count less than answers of several groups. A
// difficulty that an earlier fit wrote into the bank is only what After is compared with, so that
// outcomes are never counted twice and learning again from the same ones changes nothing.
//
// Shares outside 0 to 1 are an error. Nothing is written.
func Learn(m *difficulty.Model, b *bank.Bank, outcomes []bank.Outcome) (*Lesson, error) {
	f := newFitting(m, GradeBank(m, b))
	lesson := &Lesson{}
	if err := f.gather(outcomes, lesson); err != nil {
		return nil, err
	}
	phrases, groups := f.sides[phraseSide], f.sides[groupSide]
	if len(phrases) == 0 {
		return nil, ErrNothingToLearn
	}
	if min(len(phrases), len(groups)) > maxJoint {
		return nil, fmt.Errorf("results of %d phrases and %d groups are too many for one fit; "+
			"take those of one year", len(phrases), len(groups))
	}
	last, err := f.solve()
	if err != nil {
		return nil, err
	}
	called := make(map[int]bool, len(phrases))
	for _, p := range phrases {
		called[p.index] = true
		lesson.Phrases = append(lesson.Phrases, f.learned(p.index, p.value, p.error, p.outcomes, p.partners))
	}
	for i := range f.graded {
		if g := &f.graded[i]; !called[i] && g.Entry.Tier == 0 {
			lesson.Others = append(lesson.Others,
				f.learned(i, g.Predicted+f.corrected(i), f.errorOf(i, last), 0, 0))
		}
	}
	byMove := func(a, b Learned) int { return cmp.Compare(math.Abs(b.Moved), math.Abs(a.Moved)) }
	slices.SortStableFunc(lesson.Phrases, byMove)
	slices.SortStableFunc(lesson.Others, byMove)
	for _, g := range groups {
		lesson.Groups = append(lesson.Groups, GroupLevel{g.name, g.value, g.error, g.outcomes})
	}
	return lesson, nil
}

func (f *fitting) learned(index int, place, sd float64, outcomes, groups int) Learned {
	g, after := &f.graded[index], tierscale.Clamp(place)
	return Learned{
		ID: g.ID, Before: g.Difficulty, After: after, Moved: after - g.Difficulty,
		SD:       min(max(sd, leastSD), mostSD),
		Outcomes: outcomes, Groups: groups,
	}
}

// Pins are the placings that write the lesson into a bank, for [bank.SetPins]: of phrases that
// moved by at least the given number of tiers, called or not, each with the number of groups that
// it was learned from. A tier that the bank gives stays.
func (l *Lesson) Pins(b *bank.Bank, least float64) []bank.Pin {
	var pins []bank.Pin
	for _, p := range slices.Concat(l.Phrases, l.Others) {
		entry, ok := b.Find(p.ID)
		if !ok || math.Abs(p.Moved) < least {
			continue
		}
		groups := p.Groups
		if groups == 0 {
			groups = len(l.Groups)
		}
		pins = append(pins, bank.Pin{
			ID: p.ID, Tier: entry.Tier, Difficulty: hundredths(p.After), DifficultySD: hundredths(p.SD),
			LearnedFrom: groups,
		})
	}
	return pins
}

func hundredths(x float64) float64 { return math.Round(x*100) / 100 }

// gather sums outcomes up by phrase and group.
func (f *fitting) gather(outcomes []bank.Outcome, lesson *Lesson) error {
	byID := make(map[string]int, len(f.graded))
	var difficulties []float64
	for i := range f.graded {
		byID[strings.ToLower(f.graded[i].ID)] = i
		difficulties = append(difficulties, f.graded[i].Predicted)
	}
	f.middle = median(difficulties)
	for _, o := range outcomes {
		if !(o.Share >= 0 && o.Share <= 1) || !(o.SD >= 0) || o.People < 0 {
			return fmt.Errorf("result of %q with %q: share %g, error %g and %d people can't be",
				o.Phrase, o.Group, o.Share, o.SD, o.People)
		}
		index, known := byID[strings.ToLower(o.Phrase)]
		if !known {
			if !slices.Contains(lesson.Unknown, o.Phrase) {
				lesson.Unknown = append(lesson.Unknown, o.Phrase)
			}
			continue
		}
		f.add(index, o)
	}
	return nil
}

// median is the middle of at least one value, of an even number the mean of the two there. It sorts
// the values.
func median(values []float64) float64 {
	slices.Sort(values)
	n := len(values)
	return (values[n/2] + values[(n-1)/2]) / 2
}
