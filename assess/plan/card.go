package plan

import (
	"clapladder.example/assess/ability"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// cardSchema names the version of the card's JSON. Fields may be added within a
// version, never renamed.
const cardSchema = "clapladder/card/1"

// Card is a warm-up on paper. It begins with opening calls, the first of them
// plain beats that everybody can clap; goes on with a branching part in which the
// way leads right where the group got the call and down where it was lost; and
// closes on plain beats again. Every way through has the same number of calls.
//
// The branching part is a triangle of cells: column c of row r is reached after c
// calls that were got and r that were lost, in any order. The last answer leads to
// one of the ends, each with the tier then expected.
type Card struct {
	Schema  string     `json:"schema"`            // clapladder/card/1
	Tempo   float64    `json:"tempo_bpm"`         // that all calls keep; 0 where each phrase has its own
	Comfort float64    `json:"comfort"`           // share of the group that a tier is about
	Opening []CardCall `json:"opening"`           // before the branching part, in order
	Branch  []CardCell `json:"branch"`            // row by row
	Closing []CardCall `json:"closing"`           // after it, in order
	Ends    []CardEnd  `json:"ends"`              // lowest first
	Remarks []string   `json:"remarks,omitempty"` // what the bank could not give
}

// CardCall is one call of a card.
type CardCall struct {
	// ID in the bank; empty for plain beats that the bank doesn't have
	Phrase     string        `json:"phrase"`
	Name       string        `json:"name"`       // as in the bank
	Notation   string        `json:"notation"`   // in boxes, see package rhythm
	Meter      string        `json:"meter"`      // as rhythm.ParseMeter reads it
	Tempo      float64       `json:"tempo_bpm"`  // beats a minute
	Difficulty float64       `json:"difficulty"` // on the tier scale
	Tier       int           `json:"tier"`       // the whole tier it belongs to
	Rhythm     rhythm.Phrase `json:"-"`          // the phrase itself
}

// CardCell is a call of the branching part, with the ways on.
type CardCell struct {
	CardCall
	Place  string  `json:"place"`  // row letter and column number, "A1" for the first
	Row    int     `json:"row"`    // calls lost before, from 0
	Column int     `json:"column"` // calls got before, from 0
	Share  float64 `json:"share"`  // of those who get here, expected to get the call; 0 to 1
	Got    string  `json:"got"`    // place of the next cell, or of an end
	Lost   string  `json:"lost"`   // the same where it was lost
}

// CardEnd is where a way through the branching part ends.
type CardEnd struct {
	Place  string  `json:"place"`     // "end 1" for the lowest
	Got    int     `json:"got"`       // calls got on the way
	Tier   int     `json:"tier"`      // likeliest comfort tier, 0 below the bank
	Chance float64 `json:"chance"`    // that it is this one
	From   int     `json:"tier_from"` // the tiers that come out here: Tier, and those beside it
	To     int     `json:"tier_to"`   // that have no end of their own
	Low    int     `json:"tier_low"`  // the true one is between low and high
	High   int     `json:"tier_high"` // with a chance of at least 90 %
	// of the tiers 0, 1, 2 … to the bank's highest, which includes all above
	Chances   []float64 `json:"tier_chance"`
	ReachedBy float64   `json:"reached_by"` // share of unknown groups that end here
}

// CardOptions are what a card is made for. The zero value is a group nobody has
// met, with ten calls.
type CardOptions struct {
	Calls   int               // on every way through, 8 to 12; 0: 10
	Tempo   float64           // one pulse for all calls, beats a minute; 0: each phrase at its own
	Model   *difficulty.Model // re-grades phrases at Tempo; nil: difficulty.DefaultModel
	Prior   ability.Prior     // belief before the warm-up; zero: ability.PriorForTiers of the bank
	People  int               // 0: unknown
	Comfort float64           // 0: ability.DefaultComfort
}

// Calls is the number of calls on every way through the card.
func (c *Card) Calls() int { return len(c.Opening) + c.Branchings() + len(c.Closing) }

// Branchings is the number of calls on a way through the branching part, and of its answers.
func (c *Card) Branchings() int {
	n := 0
	for (n+1)*(n+2)/2 <= len(c.Branch) {
		n++
	}
	return n
}

// cell returns the cell at a row and column of the triangle.
func (c *Card) cell(row, column int) *CardCell {
	n := c.Branchings()
	return &c.Branch[row*n-row*(row-1)/2+column]
}

// Follow returns the calls in the order in which they are made when the answers
// in the branching part are got (true) or lost (false). With fewer answers than
// branchings the last call is the one that is to be made next, and end is nil;
// further answers are ignored.
func (c *Card) Follow(got []bool) (calls []CardCall, end *CardEnd) {
	calls = append(calls, c.Opening...)
	row, column, way := 0, 0, ""
	for k := range c.Branchings() {
		cell := c.cell(row, column)
		calls = append(calls, cell.CardCall)
		if k == len(got) {
			return calls, nil
		}
		if got[k] {
			column, way = column+1, cell.Got
		} else {
			row, way = row+1, cell.Lost
		}
	}
	for i := range c.Ends {
		if c.Ends[i].Place == way {
			end = &c.Ends[i]
		}
	}
	return append(calls, c.Closing...), end
}
