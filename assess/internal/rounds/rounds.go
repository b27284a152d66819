package rounds

import (
	"context"
	"slices"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/rhythm"
)

// Template is a phrase that a call may be.
type Template struct {
	ID     string        // of the phrase in its bank
	Phrase rhythm.Phrase // at its usual tempo
}

// Call is the leader's performance of a phrase.
type Call struct {
	Phrase rhythm.Phrase  // as heard, at the tempo heard
	Map    rhythm.TimeMap // steps of Phrase to seconds
	Onsets []float64      // times of the attacks taken as its notes, ascending
	Low    []bool         // stroke by stroke of Phrase: a stamp or a pat; nil where there is none
}

// Start is the time of the first note.
func (c Call) Start() float64 { return c.Map.At(float64(c.Phrase.Strokes()[0].Step)) }

// End is the time at which the last bar of the call ends.
func (c Call) End() float64 { return c.Map.At(float64(c.Phrase.Steps())) }

// Answer is where the group's response lies. The map is a first guess that a closer look refines.
type Answer struct {
	Map   rhythm.TimeMap // steps of the call's phrase to seconds
	Match float64        // correlation of the activity with the phrase's pattern, -1 to 1
	// Leader holds the times of strokes within the answer that sound like the leader's; Along says
	// that there are so many on the notes that the leader plays the answer too.
	Leader []float64
	Along  bool      // the leader plays the answer too
	Solo   []float64 // times of all strokes of the one person who answers; nil where more do
}

// Round is one call with its answer.
type Round struct {
	Template int     // index of the template, -1 for a call that no template explains
	Call     Call    // what the leader played
	Answer   *Answer // nil: nobody answered
	// 1 for the first answer to a call; a repeated answer is a round of its own with 2, 3 …
	Attempt    int
	Confidence float64 // 0 to 1, that this round was called as stated
}

// Start is where the round begins to sound, in seconds: its call, or its answer where that is a
// repeat.
func (r Round) Start() float64 {
	if r.Attempt > 1 && r.Answer != nil {
		return r.Answer.Map.At(float64(r.Call.Phrase.Strokes()[0].Step))
	}
	return r.Call.Start()
}

// Mark is a span that a person marked in the recording.
type Mark struct {
	Start, End float64 // seconds
	Label      string  // id of a phrase for a call; anything else only bounds a round
}

// Options are helps that a leader may give; the zero value needs none.
type Options struct {
	Order []string // ids of the phrases in the order called
	Tempo float64  // beats a minute that all calls keep; 0: unknown
	Marks []Mark   // spans that a person marked
	// People who answer; 0: unknown. Of one person every stroke is heard by itself.
	People int
}

// Find finds the rounds of a recording, in order of time. templates may be empty; then all calls
// are written down as they were clapped, which a bank makes more reliable. It returns ctx's error
// when ctx ends, and otherwise never fails: a recording without a round gives none. It works on as
// many processors as there are; the result does not depend on how many.
func Find(ctx context.Context, a *onset.Analysis, templates []Template, o Options) ([]Round, error) {
	book := newBook(templates, o.Tempo)
	said := newConstraints(o, book)
	now := firstPass(newRecording(a), book)
	var chosen, proposals []proposal
	for n := range passes {
		if n > 0 {
			now = now.learnt(chosen)
		}
		if n == passes-1 {
			now = now.asFinal()
		}
		var err error
		if proposals, err = now.propose(ctx); err != nil {
			return nil, err
		}
		if chosen = now.choose(proposals, said); n == 0 && answers(chosen) < bankEnough {
			// too little of it is in the bank to learn what the leader sounds like
			now = now.reading()
			if proposals, err = now.propose(ctx); err != nil {
				return nil, err
			}
			chosen = now.choose(proposals, said)
		}
		if n == 0 && len(chosen) == 0 {
			break // there is nothing to learn: the next pass would find the same
		}
	}
	chosen = now.swung(now.named(chosen, proposals))
	nobody := nobodyAnswers(chosen)
	found := now.rounds(settle(chosen, proposals))
	if nobody || o.People != 1 && now.leaderGoesOn(found) {
		unanswered := slices.DeleteFunc(proposals, func(p proposal) bool { return p.answer != nil })
		found = now.rounds(settle(now.choose(unanswered, said), unanswered))
	}
	if o.People == 1 || o.People == 0 && now.onePerson(found) {
		found = now.withStrokes(found)
	}
	return found, nil
}

// answers counts the answered rounds.
func answers(chosen []proposal) int {
	n := 0
	for _, p := range chosen {
		if p.answer != nil {
			n++
		}
	}
	return n
}
