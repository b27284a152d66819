package synth

import (
	"math"

	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// Truth is what happens in a recording. Field names of its JSON carry their units.
type Truth struct {
	Class    string     `json:"class,omitempty"` // Scene.Class
	Seed     uint64     `json:"seed"`            // Scene.Seed
	Rate     int        `json:"sample_rate_hz"`  // samples a second
	Duration float64    `json:"duration_s"`      // seconds
	People   int        `json:"people"`          // in the group, without the leader
	Mix      people.Mix `json:"mix"`             // how differently they do
	Level    float64    `json:"level"`           // mean of Levels
	LevelSD  float64    `json:"level_sd"`        // SD of Levels, 0 for one person
	Levels   []float64  `json:"levels"`          // of every person, person 1 first
	Rounds   []Round    `json:"rounds"`          // in order of time

	// Steepness of everybody's chance to get a phrase, 1/tier; 0 means 1.
	Steepness float64 `json:"steepness,omitempty"`

	Strokes  []Stroke      `json:"strokes,omitempty"`   // every stroke of everybody, by time
	CountIns []signal.Span `json:"count_ins,omitempty"` // bars counted in, by voice or clicks
	Talk     []signal.Span `json:"talk,omitempty"`      // the leader talking, counting in not included
	Practice []signal.Span `json:"practice,omitempty"`  // people clapping on their own
	Words    []signal.Span `json:"words,omitempty"`     // said in the rhythm of a call or answer
	Applause []signal.Span `json:"applause,omitempty"`  // between rounds
	// what the recording holds before and after the warm-up
	Around []Around `json:"around,omitempty"`
	// phrases called that the bank of whoever listens is not to have
	Outside []string `json:"outside,omitempty"`
	Moved   float64  `json:"moved_s,omitempty"` // when the phone was moved; 0 for never
	// at least half a second without any stroke or its room; talk and noise go on
	Quiet []signal.Span `json:"quiet,omitempty"`
}

// Around is a stretch of something else around the warm-up.
type Around struct {
	Kind Kind `json:"kind"` // what goes on
	signal.Span
}

// Role says what a stroke belongs to.
type Role string

// The roles.
const (
	InCall   Role = "call"     // the leader's call
	InAnswer Role = "answer"   // the group's answer
	Along    Role = "along"    // the leader playing the answer with the group
	Counting Role = "count-in" // clicks
	Trying   Role = "practice" // before or after the warm-up
	Keeping  Role = "pulse"    // the kept pulse
	Applause Role = "applause" //
	Alone    Role = "alone"    // one person after the answer
)

// Stroke is one clap, stamp, pat, snap or beat of the leader.
type Stroke struct {
	Time    float64     `json:"time_s"`           // seconds from the first sample, as it reaches the phone
	Person  int         `json:"person"`           // 0 is the leader, 1 the first of the group
	Sound   sounds.Kind `json:"sound"`            // how it was made
	Accent  bool        `json:"accent,omitempty"` // meant louder
	LevelDB float64     `json:"level_db"`         // relative to this person's usual stroke, accent included
	Role    Role        `json:"role"`             // what it belongs to
	Round   int         `json:"round"`            // index into Truth.Rounds, −1 for none
}

// Round is one call with one answer. A second answer to the same call is a round of its own.
type Round struct {
	Phrase     string  `json:"phrase"`          // "" for a phrase that is not in the bank
	Meant      string  `json:"meant,omitempty"` // phrase that was wanted where the call is another
	Metre      string  `json:"metre,omitempty"` // such as 4/4
	Difficulty float64 `json:"difficulty"`      // of the phrase, on the tier scale
	Attempt    int     `json:"attempt"`         // 1, or more for the same phrase again
	// the call sounded for this round; false where the group simply went on
	Recalled bool      `json:"recalled"`
	Call     Played    `json:"call"`     // as it sounded
	Response *Response `json:"response"` // nil where nobody clapped
}

// Played is a call as the leader plays it.
type Played struct {
	Start float64   `json:"start_s"`   // bar 1
	End   float64   `json:"end_s"`     // end of the last bar
	Tempo float64   `json:"tempo_bpm"` // beats a minute
	Notes []float64 `json:"notes_s"`   // seconds from the first sample
}

// Response is the group's answer.
type Response struct {
	// phrase that was clapped, differs from Round.Phrase for a wrong answer
	Answered string `json:"answered"`
	// where the leader's pulse, or nod after a pause, puts bar 1
	Due float64 `json:"due_s"`
	// where the group puts bar 1: mean over people, as heard
	Start      float64 `json:"start_s"`
	End        float64 `json:"end_s"`       // end of the last bar
	Lag        float64 `json:"lag_s"`       // Start − Due
	Tempo      float64 `json:"tempo_bpm"`   // beats a minute
	TempoRatio float64 `json:"tempo_ratio"` // group over leader
	// SD of clap times around the group's mean, pooled over notes
	Spread   float64        `json:"spread_s"`
	Got      int            `json:"got"`                // people who clapped the phrase without a mistake
	Share    float64        `json:"share"`              // Got of all
	Notes    []NoteTruth    `json:"notes"`              // of the phrase that was called
	Extras   []Extra        `json:"extras,omitempty"`   // by time
	Mistakes []MistakeShare `json:"mistakes,omitempty"` // most frequent first
}

// NoteTruth is what happened at one note of the called phrase.
type NoteTruth struct {
	Beat float64 `json:"beat"` // beats from the start of bar 1
	// mean of the claps that belong to it; where nobody clapped, where it would be
	Time          float64 `json:"time_s"`
	Spread        float64 `json:"spread_s"`      // their SD; 0 for fewer than two
	Participation float64 `json:"participation"` // share of people with a clap that belongs to it
	Energy        float64 `json:"energy"`        // the same weighted by loudness, may exceed 1; see Generate
}

// Extra is where people clapped but the phrase has nothing.
type Extra struct {
	Time          float64 `json:"time_s"`        // mean of the claps, seconds
	Participation float64 `json:"participation"` // share of people
	Energy        float64 `json:"energy"`        // the same weighted by loudness
}

// MistakeShare is the share of people who made a mistake.
type MistakeShare struct {
	Kind  people.Mistake `json:"kind"`  // of mistake
	Share float64        `json:"share"` // of people, 0 to 1
}

// ComfortTier returns the highest tier from 1 to most at which these people would be expected to
// manage a phrase in the middle of the tier with at least the given share, or 0 if there is none.
// The chance of each person is logistic(level − tier).
func (t *Truth) ComfortTier(share float64, most int) int {
	for tier := most; tier >= 1; tier-- {
		sum := 0.0
		for _, level := range t.Levels {
			sum += people.Chance(level, float64(tier), people.Habits{Steepness: t.Steepness}.Slope())
		}
		if sum >= share*float64(len(t.Levels)) {
			return tier
		}
	}
	return 0
}

// rounded cuts times to 0.01 ms and shares to 1e-5, so that the JSON stays short; samples are 21 µs
// or more apart.
func rounded(x float64) float64 { return math.Round(x*1e5) / 1e5 }
