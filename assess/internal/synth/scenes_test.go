package synth

import (
	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/internal/testbank"
	"clapladder.example/assess/internal/synth/people"
)

// calledLadder is calls of the phrases from plain beats to additive metres.
func calledLadder() []Call {
	var calls []Call
	for _, e := range testbank.Ladder() {
		calls = append(calls, Call{Phrase: people.FromRhythm(e.ID, e.Phrase), Difficulty: e.Difficulty})
	}
	return calls
}

// hallScene is ninety seconds of twenty-five people in a hall.
func hallScene() Scene {
	s := Scene{
		Seed: 7, Group: people.Group{People: 25, Level: 4, Mix: people.Varied}, Room: acoustics.Room{RT60: 1.2},
		Background: Background{NoiseDB: -25, Voices: 3, TalkDB: -20},
		Flow:       Flow{Praise: true, CountIn: Spoken},
	}
	s.Calls = calledLadder()[:8]
	for i := range s.Calls {
		s.Calls[i].Pause = 4
	}
	s.Flow.TalkBefore = 12
	return s
}
