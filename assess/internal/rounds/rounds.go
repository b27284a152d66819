package rounds

import (
	"context"
	"slices"
	"sort"

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
	// Leader holds the times of strokes within the answer that sound like the leader's; Along says that there are so many on the
	// notes that the leader plays the answer too.
	Leader []float64
	Along  bool      // the leader plays the answer too
	Solo   []float64 // times of all strokes of the one person who answers; nil where more do
}

// Round is one call with its answer.
type Round struct {
	Template   int     // index of the template, -1 for a call that no template explains
	Call       Call    // what the leader played
	Answer     *Answer // nil: nobody answered
	Attempt    int     // 1 for the first answer to a call; a repeated answer is a round of its own with 2, 3 …
	Confidence float64 // 0 to 1, that this round was called as stated
}

// Start is where the round begins to sound, in seconds: its call, or its answer where that is a repeat.
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

// Find finds the rounds of a recording, in order of time. templates may be empty; then calls are transcribed, but only those whose answer
// repeats them clearly: a bank makes the hearing a good deal surer. It returns ctx's error when ctx ends, and otherwise never fails: a
// recording without a round gives none. It works on as many processors as there are; the result does not depend on how many.
func Find(ctx context.Context, a *onset.Analysis, templates []Template, o Options) ([]Round, error) {
	f := newFinder(a, templates, o)
	var chosen, proposals []proposal
	for pass := range passes {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if pass > 0 {
			f.leader.learn(f, chosen)
			f.habit = learnHabit(chosen)
			f.takeOutLeader()
		}
		var err error
		if proposals, err = f.propose(ctx); err != nil {
			return nil, err
		}
		chosen = f.choose(proposals)
	}
	nobody := nobodyAnswers(chosen)
	found := f.rounds(f.settle(chosen, proposals))
	if nobody || o.People != 1 && f.leaderGoesOn(found) {
		proposals = slices.DeleteFunc(proposals, func(p proposal) bool { return p.answer != nil })
		found = f.rounds(f.settle(f.choose(proposals), proposals))
	}
	if o.People == 1 || o.People == 0 && f.onePerson(found) {
		f.findStrokes(found)
	}
	return found, nil
}

// passes is how often the leader's sound is learnt: once with general odds, then from what was found.
const passes = 3

// finder holds what all steps share.
type finder struct {
	analysis  *onset.Analysis
	templates []template
	tree      prefixTree
	longest   float64 // seconds: from the first to the last note of the longest template at its slowest
	tempoSD   float64 // natural log, around the tempo expected
	options   Options
	attacks   []onset.Attack
	nearest   nearest
	activity  *activity // of everybody
	group     *activity // with the leader's strokes taken out, once they are known

	groupAll *activity // the same as group with the low band, for stamps and pats
	leader   *leader
	habit    habit
}

func newFinder(a *onset.Analysis, templates []Template, o Options) *finder {
	f := &finder{analysis: a, options: o, attacks: a.Attacks, tempoSD: tempoSD}
	if o.Tempo > 0 {
		f.tempoSD = tempoHintSD
	}
	for i, t := range templates {
		f.templates = append(f.templates, newTemplate(i, t, o.Tempo))
		f.longest = max(f.longest, f.templates[i].span/slowest)
	}
	f.tree = newPrefixTree(f.templates)
	f.nearest = newNearest(a.Attacks, a.Envelope.Seconds())
	f.activity, f.groupAll = newActivity(a, false), newActivity(a, true)
	f.group = f.activity
	f.leader = newLeader(a.Attacks)
	return f
}

// attackFrom is the first attack at a time, in seconds, or after it; the number of attacks where none is.
func (f *finder) attackFrom(time float64) int {
	return sort.Search(len(f.attacks), func(k int) bool { return f.attacks[k].Time >= time })
}

// takeOutLeader brings the group's activity up to what is known of the leader.
func (f *finder) takeOutLeader() {
	if f.group == f.activity {
		f.group = new(activity)
	}
	f.activity.cut(f.group, f.attacks, f.leader.share)
	f.activity.keepAverages()
	f.groupAll.cut(f.groupAll, f.attacks, f.leader.share)
}

// hands is the group's activity in the bands in which the call sounds.
func (f *finder) hands(p proposal) *activity {
	if f.low(p) != nil {
		return f.groupAll
	}
	return f.group
}

// low tells which strokes of a call are stamps or pats: those that the phrase says, and those that sounded low among others that did not. A
// leader with a drum sounds low throughout, while the group claps. It is nil where there is none.
func (f *finder) low(p proposal) []bool {
	strokes := p.phrase.Strokes()
	var heard [2]int
	for _, k := range p.matched {
		if k >= 0 {
			heard[kind(f.attacks[k])]++
		}
	}
	mixed := heard[0] > 0 && heard[1] > 0
	var out []bool
	for i, s := range strokes {
		low := isLow(s.Sound) || mixed && i < len(p.matched) && p.matched[i] >= 0 && f.attacks[p.matched[i]].Low
		if low && out == nil {
			out = make([]bool, len(strokes))
		}
		if low {
			out[i] = true
		}
	}
	return out
}
