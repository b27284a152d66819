package synth

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/sounds"
)

// Scene says what a recording is to contain. Zero fields take the defaults named beside them, so
// that Scene{Calls: …} is a usable warm-up of twenty people in a lively room.
type Scene struct {
	Class string // label that tests report figures under; no effect on the sound
	Seed  uint64 // of every random number
	Rate  int    // samples a second, 8000 to 48000; 0 means 16000

	Group      people.Group    // everybody but the leader
	Leader     Leader          // who calls
	Calls      []Call          // may be empty: talk and practising only
	Flow       Flow            // how it runs
	Room       acoustics.Room  // where
	Background Background      // what sounds besides
	Phone      acoustics.Phone // what records it

	Words    Words    // said in the rhythm of the phrases
	Pulse    Pulse    // kept under everything
	Outside  []string // phrases called that the bank of whoever listens is not to have, by ID
	NextDoor NextDoor // another warm-up through the wall
}

// Words are said in the rhythm of a phrase, a syllable a stroke. Levels compare mean powers while
// calls and answers last.
type Words struct {
	Leader   bool    // says the words of the call
	LeaderDB float64 // relative to the leader's strokes
	Group    bool    // says them with the answer, up to ten voices
	GroupDB  float64 // relative to the group's strokes
}

// Pulse is a beat that the leader keeps through calls and answers, beside what is called.
type Pulse struct {
	Sound sounds.Kind // Stamp for a foot, Bass for a big drum
	DB    float64     // energy of a beat relative to a stroke of the leader's calls; 0 means no pulse
}

// NextDoor is another group that has its own warm-up behind a wall.
type NextDoor struct {
	Seed uint64  // of that warm-up; 0 means nobody is there
	DB   float64 // relative to the strokes
}

// Kind is what fills a stretch of time around a warm-up.
type Kind string

// The kinds.
const (
	Drumming   Kind = "drumming"   // everybody plays on together, on drums too
	Applauding Kind = "applauding" // everybody
	Talking    Kind = "talking"    // the leader and four others
	Playing    Kind = "music"      // from a loudspeaker
)

// Stretch is what goes on for a while before or after the warm-up.
type Stretch struct {
	Kind    Kind    // what it is
	Seconds float64 // 0.5 to 600
}

// Leader gives the calls.
type Leader struct {
	Sound      sounds.Kind // Clap, Sticks or Drum; body sounds of a phrase are followed where it is Clap
	LevelDB    float64     // energy of one stroke relative to one note clapped by the whole group
	Distance   float64     // metres from the phone; 0 means 1
	ClapsAlong bool        // plays the answer with the group
	Jitter     float64     // SD in seconds; 0 means 0.010
}

// Answer says what comes back after a call.
type Answer uint8

// The answers.
const (
	Answered  Answer = iota // the phrase, as well as people can
	Nothing                 // nobody claps
	Different               // everybody claps Call.Instead
	Repeated                // nobody claps but the leader, who plays the call again
	Onward                  // nobody claps, and the leader does not wait
)

// Call is one phrase of the leader with what is to come back.
type Call struct {
	Phrase     people.Phrase // what is called
	Difficulty float64       // on the tier scale
	Tempo      float64       // beats a minute; 0 means the phrase's own
	Answer     Answer        // what comes back
	Instead    people.Phrase // what is clapped when Answer is Different
	Attempts   int           // how often the group answers this one call; 0 means once
	Softer     float64       // dB by which a leader who plays the call again does so more softly
	Rush       float64       // the group's tempo over the leader's in this round; 0 draws it from the group's
	Pause      float64       // seconds before this call; 0 follows the flow
	Applause   float64       // seconds of applause after the answer, in the pause before the next call
	Straggler  bool          // one person claps the phrase again, alone, after the answer
	Meant      string        // phrase that a leader who clapped something else wanted, by ID; "" for none
}

// CountIn is how the leader gives one bar before a call.
type CountIn uint8

// The ways of counting in.
const (
	NoCountIn CountIn = iota
	Spoken
	Clicks // with sticks
)

// Flow is how the warm-up runs.
type Flow struct {
	Seamless    bool      // every call follows in the bar after the last answer
	CallPause   float64   // mean seconds before a call where not seamless; 0 means 3
	AnswerPause float64   // seconds from the end of a call to its answer; 0 puts that on the next bar
	CountIn     CountIn   // how the first call is counted in
	CountEach   bool      // count in every call, not only the first; needs a flow with pauses
	Praise      bool      // the leader talks in pauses of more than 1.2 s
	TalkBefore  float64   // seconds of the leader talking before the first call
	TalkAfter   float64   // seconds after the last answer
	Practice    float64   // seconds of people trying things on their own before the first call
	After       float64   // seconds of people clapping on their own after everything
	Groove      float64   // seconds of everybody playing on together in the end, each a pattern of a bar
	LeaderDB    float64   // the leader's voice relative to the strokes; 0 means −15
	TalkOver    bool      // the leader speaks over every second answer
	Early, Late []Stretch // recorded before and after all this
}

// Background is what sounds besides. Levels in dB are relative to the strokes, see the package
// comment.
type Background struct {
	NoiseDB float64 // ventilation and hiss; 0 means −40
	Voices  int     // people talking all the time
	TalkDB  float64 // all of them together; 0 means −20
	Music   bool    // whether music plays
	MusicDB float64 // 0 means −20
	Laughs  int     // bursts of laughter, spread over the recording
	LaughDB float64 // power of a burst while it lasts; 0 means −10
	Bumps   int     // chairs that scrape and things that knock
	BumpDB  float64 // power of a bump while it lasts; 0 means −8
	Rings   int     // telephones that ring for ten seconds
	Slams   int     // doors
	RingDB  float64 // power of both while they last; 0 means −3
}

// ErrScene is wrapped by every error about a scene that cannot be made.
var ErrScene = errors.New("scene cannot be made")

func sceneError(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrScene, fmt.Sprintf(format, args...))
}

// withDefaults fills in zero fields and checks the rest.
func (s Scene) withDefaults() (Scene, error) {
	byDefault := func(v *float64, d float64) {
		if *v == 0 {
			*v = d
		}
	}
	s.Rate = cmp.Or(s.Rate, 16000)
	g := &s.Group
	g.People = cmp.Or(g.People, 20)
	byDefault(&g.Level, 3)
	byDefault(&g.Looseness, 1)
	byDefault(&g.LoudnessSD, 4)
	byDefault(&g.Near, 2)
	byDefault(&g.Far, math.Max(6.5, g.Near))
	byDefault(&g.LagSD, 0.02)
	byDefault(&g.Rush, 1.02)
	byDefault(&g.RushSD, 0.015)
	byDefault(&s.Leader.Distance, 1)
	byDefault(&s.Leader.Jitter, 0.010)
	byDefault(&s.Flow.CallPause, 3)
	byDefault(&s.Flow.LeaderDB, -15)
	byDefault(&s.Room.RT60, 0.6)
	byDefault(&s.Room.Volume, 60+400*math.Pow(s.Room.RT60, 1.5))
	byDefault(&s.Background.NoiseDB, -40)
	byDefault(&s.Background.TalkDB, -20)
	byDefault(&s.Background.MusicDB, -20)
	byDefault(&s.Background.LaughDB, -10)
	byDefault(&s.Background.BumpDB, -8)
	byDefault(&s.Background.RingDB, -3)
	byDefault(&s.Phone.LowCut, 90)
	s.Phone.Bits = cmp.Or(s.Phone.Bits, 16)
	return s, s.check()
}

// check reports the first field that is out of range. Comparisons are written so that NaN fails
// them.
func (s Scene) check() error {
	type limit struct {
		name        string
		value       float64
		least, most float64
	}
	for _, l := range []limit{
		{"sample rate", float64(s.Rate), 8000, 48000},
		{"people", float64(s.Group.People), 1, 200},
		{"level", s.Group.Level, -20, 40},
		{"looseness", s.Group.Looseness, 0.05, 5},
		{"loudness SD", s.Group.LoudnessSD, 0, 12},
		{"nearest person", s.Group.Near, 0.3, 50},
		{"farthest person", s.Group.Far, s.Group.Near, 50},
		{"lag", s.Group.Lag, -0.5, 2},
		{"SD of the lag", s.Group.LagSD, 0, 0.3},
		{"tempo ratio of the group", s.Group.Rush, 0.7, 1.4},
		{"SD of the tempo ratio", s.Group.RushSD, 0, 0.1},
		{"steepness", s.Group.Habits.Steepness, 0, 4},
		{"copying", s.Group.Habits.Copying, -1, 1},
		{"chance of a slip", s.Group.Habits.Slip, 0, 0.5},
		{"looseness of those who lost it", s.Group.Habits.LostLooser, 0, 3},
		{"distance of the leader", s.Leader.Distance, 0.2, 50},
		{"jitter of the leader", s.Leader.Jitter, 0, 0.1},
		{"RT60", s.Room.RT60, 0.15, 4},
		{"room volume", s.Room.Volume, 10, 1e5},
		{"voices", float64(s.Background.Voices), 0, 30},
		{"laughs", float64(s.Background.Laughs), 0, 500},
		{"bumps", float64(s.Background.Bumps), 0, 500},
		{"low cut", s.Phone.LowCut, 1, 2000},
		{"high cut", s.Phone.HighCut, 0, 48000},
		{"AGC ratio", s.Phone.AGC, 0, 10},
		{"clipping", s.Phone.ClipDB, 0, 40},
		{"bits", float64(s.Phone.Bits), 4, 16},
		{"coding loss", s.Phone.Coding, 0, 1},
		{"pause before a call", s.Flow.CallPause, 0, 120},
		{"pause before an answer", s.Flow.AnswerPause, 0, 60},
		{"talk before", s.Flow.TalkBefore, 0, 600},
		{"talk after", s.Flow.TalkAfter, 0, 600},
		{"practice before", s.Flow.Practice, 0, 600},
		{"clapping after", s.Flow.After, 0, 600},
		{"calls", float64(len(s.Calls)), 0, 500},
		{"words of the leader", s.Words.LeaderDB, -40, 20},
		{"words of the group", s.Words.GroupDB, -40, 20},
		{"pulse", s.Pulse.DB, -60, 10},
		{"next door", s.NextDoor.DB, -80, 0},
		{"rings", float64(s.Background.Rings), 0, 100},
		{"slams", float64(s.Background.Slams), 0, 100},
		{"attack of the levelling", s.Phone.Levelling.Attack, 0, 10},
		{"release of the levelling", s.Phone.Levelling.Release, 0, 60},
		{"lift of the levelling", s.Phone.Levelling.LiftDB, 0, 60},
		{"limiter", s.Phone.LimitDB, 0, 60},
		{"gate", s.Phone.GateDB, -80, 0},
		{"move of the phone", s.Phone.MovedDB, 0, 40},
	} {
		if !(l.value >= l.least && l.value <= l.most) {
			return sceneError("%s is %g, must be %g to %g", l.name, l.value, l.least, l.most)
		}
	}
	for i, c := range s.Calls {
		if !c.Phrase.Valid() || (c.Answer == Different && !c.Instead.Valid()) {
			return sceneError("call %d has no playable phrase", i+1)
		}
		if !(c.Applause >= 0 && c.Applause <= 60) {
			return sceneError("call %d has applause out of range", i+1)
		}
		if !(c.Attempts >= 0 && c.Attempts <= 10 && c.Pause >= 0 && c.Pause <= 600) ||
			!(c.Tempo == 0 || c.Tempo >= 20 && c.Tempo <= 400) ||
			!(c.Rush == 0 || c.Rush >= 0.7 && c.Rush <= 1.4) {
			return sceneError("call %d has attempts, pause, tempo or rush out of range", i+1)
		}
	}
	for _, stretch := range slices.Concat(s.Flow.Early, s.Flow.Late) {
		if !(stretch.Seconds >= 0.5 && stretch.Seconds <= 600) {
			return sceneError("%s lasts %g s, must be 0.5 to 600", stretch.Kind, stretch.Seconds)
		}
	}
	return nil
}
