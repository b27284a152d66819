package history

import (
	"cmp"
	"fmt"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"clapladder.example/assess/ability"
	"clapladder.example/rhythm"
)

// Limits of a record.
const (
	maxLine   = 1 << 20 // bytes, with the line break
	maxRounds = 1000
	maxLabel  = 200 // characters
	maxText   = 200 // characters of other short texts
	maxScale  = 50.0
)

// RecordError says what is wrong with a record.
type RecordError struct {
	Round   int    // from 1; 0 where it is about the whole record
	Message string // what is wrong
}

// Error is one line.
func (e *RecordError) Error() string {
	if e.Round > 0 {
		return fmt.Sprintf("round %d: %s", e.Round, e.Message)
	}
	return e.Message
}

// Check reports what keeps a record from being logged; the error is a
// *[RecordError].
func (r *Record) Check() error { return r.check(map[written]bool{}) }

// written is a notation in a metre.
type written struct{ meter, notation string }

// check is Check with the notations that are known to be readable already; it adds those it reads.
func (r *Record) check(known map[written]bool) error {
	if problem := r.problem(); problem != "" {
		return &RecordError{Message: problem}
	}
	for i := range r.Rounds {
		if problem := r.Rounds[i].problem(known); problem != "" {
			return &RecordError{Round: i + 1, Message: problem}
		}
	}
	return nil
}

func (r *Record) problem() string {
	switch problem := aboutProblem("record", r.Group, r.Date); {
	case problem != "":
		return problem
	case len(r.Tool) > maxText || len(r.Source) > maxText:
		return "the name of the tool or source is too long"
	case r.People < 0 || r.People > 100_000:
		return fmt.Sprintf("%d people; give a number from 1 to 100000, or 0 where nobody counted", r.People)
	case len(r.Rounds) > maxRounds:
		return fmt.Sprintf("%d rounds are more than a warm-up has; at most %d are kept",
			len(r.Rounds), maxRounds)
	case len(r.Bank) > maxText || len(r.Recording) > maxText:
		return "the name of the bank or the sum of the recording is too long"
	case len(r.Openers) > maxRounds:
		return fmt.Sprintf("%d openers are more than are suggested; at most %d are kept",
			len(r.Openers), maxRounds)
	}
	for i := range r.Openers {
		if problem := r.Openers[i].problem(); problem != "" {
			return problem
		}
	}
	return cmp.Or(r.Kept.problem(), r.Estimate.problem())
}

// aboutProblem is what is wrong with the group and the date of a record or another line.
func aboutProblem(what, group string, date time.Time) string {
	switch {
	case CleanLabel(group) == "":
		return "a group needs a label, such as the place and the day it meets"
	case utf8.RuneCountInString(group) > maxLabel:
		return fmt.Sprintf("the group's label has more than %d characters; write a shorter one", maxLabel)
	case date.IsZero() || date.Year() < 1970 || date.Year() > 9999:
		return "a " + what + " needs a date from 1970 on"
	}
	return ""
}

// heardProblem is what is wrong with a verdict by ear.
func heardProblem(heard string) string {
	if ability.ParseVerdict(heard) == ability.NoVerdict {
		return fmt.Sprintf("heard %q; write got, partly or lost", heard)
	}
	return ""
}

func (e *Estimate) problem() string {
	if e == nil {
		return ""
	}
	numbers := []float64{e.Ability, e.AbilitySD, e.AbilitySpread}
	if e.Interval != nil {
		numbers = append(numbers, e.Interval[:]...)
	}
	for _, x := range numbers {
		if !(math.Abs(x) <= maxScale) {
			return fmt.Sprintf("the estimate holds %g, which is not on the tier scale", x)
		}
	}
	switch {
	case e.AbilitySD < 0 || e.AbilitySpread < 0:
		return "the estimate holds a negative standard deviation"
	case !inUnit(e.Comfort):
		return fmt.Sprintf("a comfort share of %g; give a number from 0 to 1", e.Comfort)
	case len(e.Mix) > maxText:
		return "the word for the mix is too long"
	}
	return ""
}

func inUnit(x float64) bool { return x >= 0 && x <= 1 }

func (r *Round) problem(known map[written]bool) string {
	switch {
	case r.Share == nil && r.Heard == "":
		return "neither a share nor what was heard"
	case r.Share != nil && !inUnit(*r.Share):
		return fmt.Sprintf("a share of %g; give a number from 0 to 1", *r.Share)
	case r.Heard != "" && heardProblem(r.Heard) != "":
		return heardProblem(r.Heard)
	case !inUnit(r.ShareSD) || !inUnit(r.Confidence):
		return "the error of a share and a confidence are numbers from 0 to 1"
	case !(math.Abs(r.Difficulty) <= maxScale):
		return fmt.Sprintf("a difficulty of %g is not on the tier scale", r.Difficulty)
	case !(r.DifficultySD >= 0 && r.DifficultySD <= 5):
		return fmt.Sprintf("the error of a difficulty is %g; give a number from 0 to 5", r.DifficultySD)
	case r.Attempt < 1 || r.Attempt > maxRounds:
		return fmt.Sprintf("attempt %d; count tries from 1", r.Attempt)
	case r.Tempo != 0 && !(r.Tempo >= 1 && r.Tempo <= 1000):
		return fmt.Sprintf("a tempo of %g beats a minute; give a number from 1 to 1000, or 0 "+
			"where not known", r.Tempo)
	case r.Phrase != nil && (strings.TrimSpace(*r.Phrase) == "" || len(*r.Phrase) > maxText):
		return "the phrase's id is empty or too long; leave it out for an improvised call"
	}
	key := written{r.Meter, r.Notation}
	if known[key] {
		return ""
	}
	if _, err := r.parse(); err != nil {
		return fmt.Sprintf("the notation can't be read: %v", err)
	}
	if len(known) < mostSeen {
		known[key] = true
	}
	return ""
}

// parse returns the round's phrase at the tempo of the call, within what a phrase
// can have.
func (r *Round) parse() (rhythm.Phrase, error) {
	meter, err := rhythm.ParseMeter(r.Meter)
	if err != nil {
		return rhythm.Phrase{}, err
	}
	tempo := cmp.Or(r.Tempo, rhythm.DefaultTempo)
	return rhythm.Parse(r.Notation, meter, min(max(tempo, rhythm.MinTempo), rhythm.MaxTempo))
}
