package measure

import (
	"slices"
	"sync"

	"clapladder.example/rhythm"
)

// Measure is one entry of the table of measures.
type Measure struct {
	ID      string // short and stable: "lhl", "c-score"
	Name    string // as people say it
	Source  string // author and year
	Meaning string // one line
	Metres  string // the metres it is defined for, in words
	// the publication scores a cycle and the result depends on that; Of scores a phrase with an end
	// all the same
	Cyclic bool

	on      func(*Pattern) (float64, error)
	applies func(*barTree) error
}

// All lists the measures in a fixed order. The caller owns the slice.
func All() []Measure { return slices.Clone(table) }

// Find returns the measure with the given ID.
func Find(id string) (Measure, bool) {
	for _, m := range table {
		if m.ID == id {
			return m, true
		}
	}
	return Measure{}, false
}

var patterns = sync.Pool{New: func() any { return &Pattern{} }}

// Of measures a phrase as a phrase with an end. Where the measure has no value the error is an
// [*UndefinedError]. Safe for concurrent use.
func (m Measure) Of(phrase rhythm.Phrase) (float64, error) {
	p := patterns.Get().(*Pattern)
	defer patterns.Put(p)
	p.Cyclic = false
	p.set(phrase)
	return m.On(p)
}

// On measures a pattern as its field Cyclic says. Where the measure has no value the error is an
// [*UndefinedError].
func (m Measure) On(p *Pattern) (float64, error) {
	value, err := 0.0, error(nil)
	switch {
	case len(p.onsets) == 0:
		err = errEmpty
	case m.applies != nil && !p.tree.meter.IsZero():
		err = m.applies(&p.tree)
	}
	if err == nil {
		value, err = m.on(p)
	}
	if err != nil {
		return 0, &UndefinedError{m.Name, p.tree.meter, err}
	}
	return value, nil
}

// always adapts a measure that is defined for every pattern.
func always(f func(*Pattern) float64) func(*Pattern) (float64, error) {
	return func(p *Pattern) (float64, error) { return f(p), nil }
}

// The metres that measures apply to.

func evenBeats(t *barTree) error {
	if t.meter.Kind() == rhythm.Additive {
		return errUneven
	}
	return nil
}

func evenGroups(t *barTree) error {
	if !t.even {
		return errUneven
	}
	return nil
}

func binaryBars(t *barTree) error {
	switch {
	case t.meter.Kind() == rhythm.Additive:
		return errUneven
	case t.meter.Kind() == rhythm.Compound || !powerOfTwo(t.meter.Beats()):
		return errNotBinary
	}
	return nil
}

func binaryTrees(t *barTree) error {
	if err := binaryBars(t); err != nil {
		return err
	}
	return evenGroups(t)
}

func fours(t *barTree) error {
	if t.meter.Kind() != rhythm.Simple {
		return errNotFours
	}
	return nil
}

func fourBeats(t *barTree) error {
	if !t.even {
		return errUneven
	}
	if t.meter.Kind() != rhythm.Simple || t.meter.Beats() != 4 {
		return errNotFours
	}
	return nil
}

func profiled(t *barTree) error {
	beats, kind := t.meter.Beats(), t.meter.Kind()
	if !t.even || kind == rhythm.Compound && beats != 2 || kind == rhythm.Simple && beats != 3 && beats != 4 {
		return errNoProfile
	}
	return nil
}
