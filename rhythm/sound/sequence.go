package sound

import (
	"errors"
	"fmt"

	"clapladder.example/rhythm/internal/midiwrite"

	"clapladder.example/rhythm"
)

// Limits of a sequence.
const (
	maxSeconds = 1200 // length in seconds
	MaxRepeat  = 32   // calls of one phrase
	MaxPause   = 16   // bars
)

// Options say what is around the calls. The zero value is a bar of count-in, and each phrase called
// once with as much silence after it as it is long.
type Options struct {
	NoCountIn bool // leave out the bar of count-in before the first call
	Click     bool // a click on every beat
	Answer    bool // play a model answer instead of leaving a gap
	Repeat    int  // how often each phrase is called and answered, 1 to MaxRepeat; 0: once
	Pause     int  // bars of silence between an answer and the call of another phrase, 0 to MaxPause
}

// Section is a stretch of a sequence: whole bars in the metre and tempo of its phrase.
type Section struct {
	Role   string        // what happens in it: count-in, call, answer, gap (for the answer) or pause
	Index  int           // of the phrase, from 0
	Phrase rhythm.Phrase // with the strokes of a call or an answer
	Bars   int           // 1 in a count-in, those of the phrase in a call, gap or answer
	Start  float64       // seconds
}

// seconds is the length of the section in seconds.
func (s Section) seconds() float64 { return float64(s.Bars) * s.Phrase.Seconds(s.Phrase.BarSteps()) }

// End is where the section ends, in seconds.
func (s Section) End() float64 { return s.Start + s.seconds() }

// Sequence is what is to be heard, in order. Get one from [New]; it does not change.
type Sequence struct {
	sections []Section
	click    bool
}

// TooLongError is a sequence that would last longer than maxSeconds.
type TooLongError struct {
	Index int // of the phrase, from 0, in which the limit is passed
}

// Error says what to do instead.
func (e *TooLongError) Error() string {
	return fmt.Sprintf("this would last longer than %d minutes; use fewer phrases or repeats at "+
		"a time", maxSeconds/60)
}

// New lays phrases out in order, each at its own metre and tempo. Too long a sequence is a
// [*TooLongError]; other errors are about options out of range and empty phrases. The slice is not
// kept.
func New(phrases []rhythm.Phrase, o Options) (*Sequence, error) {
	switch {
	case len(phrases) == 0:
		return nil, errors.New("there is nothing to render; give at least one phrase")
	case o.Repeat < 0 || o.Repeat > MaxRepeat:
		return nil, fmt.Errorf("a phrase can't be called %d times; choose 1 to %d", o.Repeat, MaxRepeat)
	case o.Pause < 0 || o.Pause > MaxPause:
		return nil, fmt.Errorf("a pause can't last %d bars; choose 0 to %d", o.Pause, MaxPause)
	}
	s := &Sequence{click: o.Click}
	for i, p := range phrases {
		if p.IsZero() {
			return nil, fmt.Errorf("phrase %d is empty; parse it from its boxes first", i+1)
		}
		s.lead(i, p, o)
		for range max(1, o.Repeat) {
			s.add(midiwrite.Call, i, p, p.Bars())
			if o.Answer {
				s.add(midiwrite.Answer, i, p, p.Bars())
			} else {
				s.add(midiwrite.Gap, i, p, p.Bars())
			}
			if s.Seconds() > maxSeconds {
				return nil, &TooLongError{Index: i}
			}
		}
	}
	return s, nil
}

// lead adds what comes before the first call of a phrase.
func (s *Sequence) lead(i int, p rhythm.Phrase, o Options) {
	switch {
	case i == 0 && !o.NoCountIn:
		s.add(midiwrite.CountIn, i, p, 1)
	case i > 0 && o.Pause > 0:
		s.add(midiwrite.Pause, i, p, o.Pause)
	}
}

func (s *Sequence) add(role string, i int, p rhythm.Phrase, bars int) {
	s.sections = append(s.sections, Section{Role: role, Index: i, Phrase: p, Bars: bars, Start: s.Seconds()})
}

// Sections are the stretches in order, one beginning where the other ends. The slice is shared:
// read only.
func (s *Sequence) Sections() []Section { return s.sections }

// seconds is the length of the whole in seconds.
func (s *Sequence) Seconds() float64 {
	if len(s.sections) == 0 {
		return 0
	}
	return s.sections[len(s.sections)-1].End()
}
