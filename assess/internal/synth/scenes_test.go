package synth

import (
	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/internal/testbank"
	"clapladder.example/assess/internal/synth/people"
)

// testBank is the phrases that are called here.
func testBank() []Item {
	var bank []Item
	for _, e := range testbank.Ladder() {
		bank = append(bank, Item{people.FromRhythm(e.ID, e.Phrase), e.Difficulty})
	}
	return bank
}

// hallScene is ninety seconds of twenty-five people in a hall.
func hallScene() Scene {
	s := Scene{
		Seed: 7, Group: people.Group{People: 25, Level: 4, Mix: people.Varied}, Room: acoustics.Room{RT60: 1.2},
		Background: Background{NoiseDB: -25, Voices: 3, TalkDB: -20},
		Flow:       Flow{Praise: true, CountIn: Spoken},
	}
	for _, item := range testBank()[:8] {
		s.Calls = append(s.Calls, Call{Phrase: item.Phrase, Difficulty: item.Difficulty, Pause: 4})
	}
	s.Flow.TalkBefore = 12
	return s
}
