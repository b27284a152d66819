package assess

import (
	"clapladder.example/assess/ability"
	"clapladder.example/assess/plan"
)

// Schema names the version of the report's JSON.
const Schema = "clapladder/report/1"

// SchemaVersion is the semantic version of report.schema.json, which describes the JSON. Its first
// number is that of [Schema] and changes where a reader would have to; the second where fields were
// added.
const SchemaVersion = "1.4.0"

// Report is what one warm-up amounts to, from [Recording], [Taps], [Tally] or a [Session]. The
// caller owns it and all it points to.
//
// Times are seconds from the start of the recording, tempos beats a minute, shares and
// participation 0 to 1, difficulties and levels on the tier scale, where one unit is one tier and
// one logit. A nil pointer is what is not stated, and null in the JSON: below four usable rounds
// Group.Tier and Group.Ability are nil. Names in the JSON are stable: fields may be added, never
// renamed.
type Report struct {
	Schema string `json:"schema"`         // the constant Schema
	Tool   string `json:"tool,omitempty"` // name and version of the program, and with it of the algorithms
	// Provisional says that the recording goes on: any round may yet be named otherwise or left
	// out.
	Provisional bool          `json:"provisional,omitempty"`
	Recording   Recorded      `json:"recording"`        // what was listened to
	Rounds      []Round       `json:"rounds"`           // in order of time
	Group       Group         `json:"group"`            // what they say together
	Openers     []Opener      `json:"openers"`          // from the repertoire, the sure start first
	Pieces      []PieceChance `json:"pieces,omitempty"` // all that pass the filter, the easiest first
	// null where the estimate is firm or no bank was given
	NextCall *NextCall `json:"next_call"`
	Warnings []Warning `json:"warnings"` // doubts and cautions
}

// Recorded is what was listened to.
type Recorded struct {
	Duration   float64 `json:"duration_s"`         // seconds
	SampleRate int     `json:"sample_rate_hz"`     // of the file; 0 for taps
	Format     string  `json:"format"`             // "wav", "m4a" …; "taps" for onset times
	Channels   int     `json:"channels,omitempty"` // of the file; 0 where there was none
	// Exchange is how likely the recording holds call and response, 0 to 1; nil where there was no
	// sound to tell. Below one half no answer is claimed and no tier stated.
	Exchange *float64 `json:"exchange"`
	// Heard says what it sounds like instead where there is none: "one-person", "ticking",
	// "knocking", "speech", "music", "noise", "little", "other", or "too-few" rounds to tell; empty
	// otherwise.
	Heard string `json:"heard,omitempty"`
	// LeftOut are the parts that the report does not speak of, in order of time.
	LeftOut []LeftOut `json:"left_out,omitempty"`
	// Envelope is the sound in outline; nil where there was none to listen to.
	Envelope *Envelope `json:"envelope,omitempty"`
	// Flattened says how far the recorder took away differences of level; nil where it did not.
	Flattened *Flattened `json:"flattened,omitempty"`
}

// Flattened says that the recorder took away differences of level, which shares of the group are
// read from.
type Flattened struct {
	Kind     string  `json:"kind"`     // code of the warning: clipped, overdriven, levelled, gain-riding
	Severity float64 `json:"severity"` // 0 to 1
	Severe   bool    `json:"severe"`   // too little is left: no share and no tier is stated
}

// LeftOut is a part of a recording that the report does not speak of.
type LeftOut struct {
	Start float64   `json:"start_s"` // seconds
	End   float64   `json:"end_s"`   // seconds
	Why   LeftCause `json:"why"`
}

// LeftCause says why a part was left out.
type LeftCause string

// The causes.
const (
	NoExchange LeftCause = "no-exchange" // no call and response was heard there
	NotAsked   LeftCause = "not-asked"   // it lies outside Options.From and Options.To
)

// Envelope is how the power of a recording runs, in few enough numbers to draw it. What was clapped
// or said can't be had back from it.
type Envelope struct {
	Step float64 `json:"step_s"` // seconds that each value stands for; the first begins with the recording
	// largest power in the step, dB relative to the loudest step: -60 to 0; at most 1,200 values
	Power []int `json:"power_db"`
}

// Round is one call with one answer.
type Round struct {
	Phrase     *string `json:"phrase"`         // id in the bank, null for an improvised call
	Name       string  `json:"name,omitempty"` // of the phrase in the bank
	Attempt    int     `json:"attempt"`        // 1 for the first answer to the phrase in this warm-up
	Confidence float64 `json:"confidence"`     // 0 to 1, that the round was what it is taken for
	Notation   string  `json:"notation"`       // the phrase in box notation
	Meter      string  `json:"meter"`          // such as "4/4" or "7/8=2+2+3"
	Difficulty float64 `json:"difficulty"`     // on the tier scale
	// CloseTo is the phrase of the bank that an improvised call differs from by one stroke; nil
	// where there is none.
	CloseTo *CloseTo `json:"close_to,omitempty"`
	// DifficultySD is how sure the difficulty is, in tiers.
	DifficultySD float64 `json:"difficulty_sd"`

	Call Played `json:"call"` // as the leader played it
	// null where nobody answered or nothing was recorded
	Response *Response `json:"response"`
	// one for each stroke of the phrase; empty where nothing was heard
	Notes  []Note  `json:"notes"`
	Extras []Extra `json:"extras"` // by time
	Errors []Error `json:"errors"` // of most of the group first
	// estimated share of the group that got the phrase, 0 to 1
	Share *float64 `json:"share"`
	// standard error of the share as the estimate takes it; null where unused
	ShareSD *float64 `json:"share_sd"`
	// the share lies within it with a chance of 80 %
	ShareInterval *[2]float64 `json:"share_interval,omitempty"`
	// what a true share is heard as in this answer; nil where the share was not heard
	Reading *ability.Reading `json:"reading,omitempty"`
	// how well the answer as heard matches the phrase, 0 to 1
	Score   *float64 `json:"score"`
	Pulse   *float64 `json:"pulse"`   // participation on the beats, 0 to 1
	Pattern *float64 `json:"pattern"` // participation off the beats, 0 to 1
	// who could answer, where not the whole group: 1 for one person
	People int `json:"people,omitempty"`
	// "got", "partly" or "lost" where a leader judged by ear
	Heard  string `json:"heard,omitempty"`
	Usable bool   `json:"usable"` // whether the estimate uses this round

	// The level of the group after this round, by all usable rounds up to it; null before the first
	// of them. Below four usable rounds it is mostly what was believed before the warm-up. The last
	// is the ability of the group.
	Level         *float64    `json:"level"`          // on the tier scale
	LevelSD       *float64    `json:"level_sd"`       // in tiers
	LevelInterval *[2]float64 `json:"level_interval"` // 90 %
}

// CloseTo is a phrase of the bank that a call would be but for one stroke.
type CloseTo struct {
	Phrase string `json:"phrase"`         // id in the bank
	Name   string `json:"name,omitempty"` // in the bank
	// "more": one stroke more than the phrase has; "less": one less
	Difference string  `json:"difference"`
	Bar        int     `json:"bar"`  // of the phrase, from 1, where that stroke is
	Beat       float64 `json:"beat"` // from 1 within the bar
}

// Played is a call as heard.
type Played struct {
	Start  float64   `json:"start_s"`   // first note, seconds
	End    float64   `json:"end_s"`     // end of the last bar, seconds
	Tempo  float64   `json:"tempo_bpm"` // beats a minute, quarters where beats differ in length
	Onsets []float64 `json:"onsets_s"`  // notes that were heard, seconds
}

// Response is an answer as heard.
type Response struct {
	// where the first note lies, whether or not it was clapped; seconds
	Start       float64   `json:"start_s"`
	End         float64   `json:"end_s"`        // end of the last bar, seconds
	Tempo       float64   `json:"tempo_bpm"`    // beats a minute
	Onsets      []float64 `json:"onsets_s"`     // where the group placed the notes that were heard
	Spread      float64   `json:"spread_ms"`    // standard deviation of clap times at one note
	Offset      float64   `json:"offset_ms"`    // group minus the leader's pulse, early is negative
	LeaderAlong bool      `json:"leader_along"` // the leader seems to clap with the group
}

// Note is one stroke of the phrase in an answer.
type Note struct {
	Bar           int      `json:"bar"`           // from 1
	Beat          float64  `json:"beat"`          // from 1 within the bar
	Expected      float64  `json:"expected_s"`    // the leader's pulse carried into the answer, seconds
	Played        *float64 `json:"played_s"`      // seconds; null where next to nobody clapped
	Participation float64  `json:"participation"` // share of the group heard on it, 0 to 1
}

// Extra is clapping where the phrase has nothing.
type Extra struct {
	Bar           int     `json:"bar"`           // from 1
	Beat          float64 `json:"beat"`          // from 1 within the bar
	Time          float64 `json:"time_s"`        // seconds
	Participation float64 `json:"participation"` // share of the group heard, 0 to 1
}

// Error is a mistake that many made.
type Error struct {
	Kind string  `json:"kind"`           // such as "filled-rest", see response.Kind
	Bar  int     `json:"bar"`            // from 1; 0 where the whole answer is meant
	Beat float64 `json:"beat"`           // from 1; 0 where the whole answer is meant
	Text string  `json:"text"`           // one line for the leader
	Hint string  `json:"hint,omitempty"` // what to try
}

// Group is what the rounds say about the people together. Nothing in it is about one person.
type Group struct {
	Ability         *float64    `json:"ability"`          // level on the tier scale
	AbilitySD       *float64    `json:"ability_sd"`       // its standard deviation, tiers
	AbilityInterval *[2]float64 `json:"ability_interval"` // 90 %
	// standard deviation of people's levels, in tiers
	AbilitySpread *float64 `json:"ability_spread"`
	Mix           *string  `json:"mix"` // "alike", "some spread" or "mixed"
	// of "alike", "some spread" and "mixed", in this order; empty where no mix is stated
	MixProbabilities []float64 `json:"mix_probabilities"`
	Tier             *int      `json:"tier"` // comfort tier, 0 below the bank
	// share of the group that must be expected to manage the tier
	Comfort float64 `json:"comfort"`
	// chance of each tier from 1 up; what is missing to 1 is that of tier 0
	TierProbabilities []float64 `json:"tier_probabilities"`
	UsableRounds      int       `json:"usable_rounds"`   // that the estimate used
	Basis             *Basis    `json:"basis,omitempty"` // what the estimate began with
	// mean participation on the beat over usable rounds
	Pulse *float64 `json:"pulse"`
	// and off the beat; null where nothing lies there
	Pattern *float64 `json:"pattern"`
}

// Basis is what the estimate of a group began with. With it and the rounds the estimate can be made
// again, to the last digit, from a report that was kept; see [Report.Estimate].
type Basis struct {
	Tiers        int     `json:"tiers"`                   // highest tier told apart
	Level        float64 `json:"level"`                   // believed before the first round
	LevelSD      float64 `json:"level_sd"`                // its standard deviation, tiers
	SpreadMedian float64 `json:"spread_median,omitempty"` // of the spread of people, tiers; 0: the usual one
	// standard deviation of its logarithm; 0: the usual one
	SpreadSigma float64 `json:"spread_sigma,omitempty"`
	People      int     `json:"people,omitempty"`    // in the group; 0: unknown
	CommonSD    float64 `json:"common_sd,omitempty"` // what all rounds may err in common, tiers
	// Calls says that what the leader called was taken as a hint of the level: who knows the group
	// calls by what they know, and that is no news.
	Calls bool `json:"calls"`
}

// Opener is one suggestion from the repertoire.
type Opener struct {
	Piece  string    `json:"piece"`          // id
	Name   string    `json:"name"`           // of the piece
	Part   string    `json:"part,omitempty"` // where not the core part is meant
	Role   plan.Role `json:"role"`           // what it is for
	For    plan.Role `json:"for,omitempty"`  // the role of the choice that a fallback belongs to
	Tier   int       `json:"tier"`           // the whole tier it belongs to
	Chance float64   `json:"chance"`         // that at least the comfort share of the group manages it
	Why    string    `json:"why"`            // one line

	Notation string `json:"notation"` // of the part meant
	Meter    string `json:"meter"`    // such as "4/4"
}

// PieceChance is one piece of the repertoire with its chance.
type PieceChance struct {
	Piece  string   `json:"piece"`          // id
	Name   string   `json:"name"`           // of the piece
	Tier   int      `json:"tier"`           // the whole tier it belongs to
	Chance float64  `json:"chance"`         // that at least the comfort share of the group manages it
	Tags   []string `json:"tags,omitempty"` // of the piece
}

// NextCall is the phrase that would tell most now.
type NextCall struct {
	Phrase     string  `json:"phrase"`     // id in the bank
	Name       string  `json:"name"`       // as in the bank
	Notation   string  `json:"notation"`   // in boxes
	Meter      string  `json:"meter"`      // such as "4/4"
	Difficulty float64 `json:"difficulty"` // on the tier scale
	Why        string  `json:"why"`        // one line
}

// Warning is doubt as data.
type Warning struct {
	Code string `json:"code"` // for programs; fixed
	Text string `json:"text"` // one plain sentence, with what to do
}
