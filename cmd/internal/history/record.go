package history

import (
	"time"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
)

// SchemaName names the version of a record. Fields may be added within a version,
// never renamed.
const (
	SchemaName    = "clapladder/history/1"
	schemaPrefix  = "clapladder/history/"
	schemaVersion = 1
)

// Record is one warm-up of one group.
type Record struct {
	Schema   string    `json:"schema"`           // SchemaName
	Group    string    `json:"group"`            // label, free text; not a person's name
	Date     time.Time `json:"date"`             // when the warm-up was, with time zone
	Tool     string    `json:"tool,omitempty"`   // name and version of the program
	Source   string    `json:"source,omitempty"` // what was listened to: "wav", "m4a" …, "taps", "tally"
	People   int       `json:"people,omitempty"` // in the room; 0 where nobody counted
	Rounds   []Round   `json:"rounds"`           // in order of time
	Estimate *Estimate `json:"estimate"`         // null where there were too few rounds
	// which bank was used: a name and a sum of its phrases, see BankName
	Bank  string `json:"bank,omitempty"`
	Known bool   `json:"known,omitempty"` // the estimate began from what the log knew of the group
	// a sum of the file that was listened to, to know it again
	Recording string   `json:"recording,omitempty"`
	Openers   []Opener `json:"openers,omitempty"` // what was suggested
	Kept      *Kept    `json:"kept,omitempty"`    // the level as a trend takes it; see Scale.Keep
	Line      int      `json:"-"`                 // of the file, from 1; set by Log.Read

	key string // of its line in the file
}

// Round is one call with its answer.
type Round struct {
	Phrase   *string `json:"phrase"`              // ID in the bank, null for an improvised call
	Notation string  `json:"notation"`            // in boxes, see package rhythm
	Meter    string  `json:"meter"`               // as rhythm.ParseMeter reads it
	Tempo    float64 `json:"tempo_bpm,omitempty"` // of the call; 0 where not known
	// of the group that got it as the estimate takes it, 0 to 1; null where judged by ear
	Share   *float64 `json:"share"`
	ShareSD float64  `json:"share_sd,omitempty"` // error of the share; 0 where not known
	// what a true share is heard as; nil where the share was not heard
	Reading      *ability.Reading `json:"reading,omitempty"`
	Heard        string           `json:"heard,omitempty"`         // "got", "partly", "lost"; by ear
	Difficulty   float64          `json:"difficulty"`              // used at the time, tier scale
	DifficultySD float64          `json:"difficulty_sd,omitempty"` // its error; 0 where not known
	Attempt      int              `json:"attempt"`                 // from 1
	Confidence   float64          `json:"confidence"`              // that it was such a round, 0 to 1
}

// Estimate is what was concluded at the time.
type Estimate struct {
	Ability   float64     `json:"ability"`                    // level, tier scale
	AbilitySD float64     `json:"ability_sd"`                 // its standard deviation, tiers
	Interval  *[2]float64 `json:"ability_interval,omitempty"` // 90 %
	// standard deviation of people's levels, tiers
	AbilitySpread float64 `json:"ability_spread,omitempty"`
	Mix           string  `json:"mix,omitempty"`  // "alike", "some spread" or "mixed"
	Tier          *int    `json:"tier,omitempty"` // comfort tier
	// share of the group that the tier is about, 0 to 1
	Comfort float64 `json:"comfort,omitempty"`
}

// About is what a report does not say.
type About struct {
	Group  string    // label; not a person's name
	Date   time.Time // when the warm-up was
	People int       // 0 unknown
	Bank   string    // see BankName; may be empty
	Known  bool      // the estimate began from what the log knew of the group
	// Recording is a sum of the file, to know it again; may be empty.
	Recording string
	// Raw takes back what was done to the chances of openers; nil where nothing was.
	Raw func(chance float64) float64
	// ShareSD and DifficultySD are the errors of a round's share and difficulty;
	// nil takes what the report says.
	ShareSD      func(assess.Round) float64
	DifficultySD func(assess.Round) float64
}

// FromReport makes the record of a report. Rounds that the estimate did not use
// are left out: they say nothing about the group.
func FromReport(r *assess.Report, about About) Record {
	record := Record{
		Schema: SchemaName, Group: CleanLabel(about.Group), Date: about.Date, Tool: r.Tool,
		Source: r.Recording.Format,
		People: about.People, Rounds: []Round{}, Estimate: estimateOf(r.Group), Bank: about.Bank,
		Known: about.Known, Recording: about.Recording,
	}
	for _, o := range r.Openers {
		kept := Opener{Piece: o.Piece, Part: o.Part, Role: string(o.Role), Chance: &o.Chance}
		if about.Raw != nil {
			raw := about.Raw(o.Chance)
			kept.Raw = &raw
		}
		record.Openers = append(record.Openers, kept)
	}
	for _, round := range r.Rounds {
		if !round.Usable || round.Share == nil && round.Heard == "" {
			continue
		}
		kept := Round{
			Phrase: round.Phrase, Notation: round.Notation, Meter: round.Meter, Tempo: round.Call.Tempo,
			Share: round.Share, Reading: round.Reading, Heard: round.Heard, Difficulty: round.Difficulty,
			DifficultySD: round.DifficultySD,
			Attempt:      max(round.Attempt, 1), Confidence: round.Confidence,
		}
		if round.ShareSD != nil {
			kept.ShareSD = *round.ShareSD
		}
		if about.ShareSD != nil {
			kept.ShareSD = about.ShareSD(round)
		}
		if about.DifficultySD != nil {
			kept.DifficultySD = about.DifficultySD(round)
		}
		record.Rounds = append(record.Rounds, kept)
	}
	return record
}

func estimateOf(g assess.Group) *Estimate {
	if g.Ability == nil || g.AbilitySD == nil {
		return nil
	}
	e := &Estimate{
		Ability: *g.Ability, AbilitySD: *g.AbilitySD, Interval: g.AbilityInterval,
		Tier: g.Tier, Comfort: g.Comfort,
	}
	if g.AbilitySpread != nil {
		e.AbilitySpread = *g.AbilitySpread
	}
	if g.Mix != nil {
		e.Mix = *g.Mix
	}
	return e
}
