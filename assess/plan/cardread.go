package plan

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"clapladder.example/rhythm"
)

// ReadCard reads a card from its JSON and parses its phrases. It refuses what is not a card of this
// version, and a card whose branching part is not a whole triangle; an error names the call that
// can't be used.
func ReadCard(data []byte) (*Card, error) {
	var c Card
	if err := json.Unmarshal(data, &c); err != nil {
		return nil, fmt.Errorf("this is not the JSON of a card: %w", err)
	}
	n := c.Branchings()
	switch {
	case c.Schema != cardSchema:
		return nil, fmt.Errorf("this is not a card: its schema is %q, not %q", c.Schema, cardSchema)
	case c.Calls() > mostCalls:
		return nil, fmt.Errorf("the card has %d calls on a way, more than %d", c.Calls(), mostCalls)
	case n < 1 || len(c.Ends) == 0:
		return nil, errors.New("the card has no ends; write it again with the command that makes cards")
	case len(c.Branch) != n*(n+1)/2:
		return nil, fmt.Errorf("the card has %d branching calls, not %d; write it again with the "+
			"command that makes cards", len(c.Branch), (n+1)*(n+2)/2)
	}
	for i := range c.Opening {
		if err := c.Opening[i].parse(); err != nil {
			return nil, fmt.Errorf("opening call %d: %w", i+1, err)
		}
	}
	for row := range n {
		for column := range n - row {
			cell := c.cell(row, column)
			if place := fmt.Sprintf("%c%d", 'A'+row, column+1); cell.Row != row ||
				cell.Column != column || cell.Place != place {
				return nil, fmt.Errorf("the card has call %q at the place of %s; write it again "+
					"with the command that makes cards", cell.Place, place)
			}
			if row+column == n-1 && !(c.hasEnd(cell.Got) && c.hasEnd(cell.Lost)) {
				return nil, fmt.Errorf("call %s leads to no end; write the card again with the "+
					"command that makes cards", cell.Place)
			}
			if err := cell.parse(); err != nil {
				return nil, fmt.Errorf("call %s: %w", cell.Place, err)
			}
		}
	}
	for i := range c.Closing {
		if err := c.Closing[i].parse(); err != nil {
			return nil, fmt.Errorf("closing call %d: %w", i+1, err)
		}
	}
	return &c, nil
}

func (c *Card) hasEnd(place string) bool {
	return slices.ContainsFunc(c.Ends, func(e CardEnd) bool { return e.Place == place })
}

// parse fills the rhythm in from its text.
func (c *CardCall) parse() error {
	meter, err := rhythm.ParseMeter(c.Meter)
	if err != nil {
		return err
	}
	c.Rhythm, err = rhythm.Parse(c.Notation, meter, c.Tempo)
	return err
}
