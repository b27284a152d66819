package warmups

import (
	"clapladder.example/assess/internal/synth/internal/testbank"
	"clapladder.example/assess/internal/synth/people"
)

// ladder is the phrases that are called here.
func ladder() []Item {
	var bank []Item
	for _, e := range testbank.Ladder() {
		bank = append(bank, Item{people.FromRhythm(e.ID, e.Phrase), e.Difficulty})
	}
	return bank
}
