package synth

import (
	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/rhythm"
)

// DemoPhrase is a phrase of the demo as a bank writes it.
type DemoPhrase struct {
	ID     string  // one short word
	Name   string  // can be spoken in the rhythm
	Metre  string  // such as 4/4
	Tempo  float64 // beats a minute
	Rhythm string  // box notation
	Tier   int     // as the leader places it
}

// DemoPhrases is what the leader of a boatyard's lunch-hour clapping group calls: phrases that a
// bank is likely to have. The caller owns the slice.
func DemoPhrases() []DemoPhrase {
	return []DemoPhrase{
		{"row", "Row the boat home", "4/4", 96, "x x x x", 1},
		{"tie-fast", "Tie it fast", "4/4", 96, "x x x .", 1},
		{"gangway", "Mind out, gangway clear", "4/4", 96, "x x xx x", 2},
		{"haul-line", "Haul the line in", "4/4", 92, "x .x x x", 3},
		{"throw", "Throw me the rope", "4/4", 96, "x xx . x", 3},
		{"spring-tide", "Remember the tide", "4/4", 96, "xx .x .x x", 4},
		{"load", "Heave the load and set it down", "4/4", 92, "x .x x .x | x x x .", 4},
		{"clave", "Waves on the bay, low tide", "4/4", 96, "x .x . x | . x x .", 5},
	}
}

// DemoScene is one lunch hour of that group: eighteen people in a shed that rings a little, nine
// calls from plain beats up and back to them, talk in between, 68 s at 16 kHz.
func DemoScene() Scene {
	calls := map[string]Call{}
	for _, p := range DemoPhrases() {
		phrase := people.FromRhythm(p.ID, rhythm.MustParse(p.Rhythm, p.Metre, p.Tempo))
		calls[p.ID] = Call{Phrase: phrase, Difficulty: float64(p.Tier)}
	}
	s := Scene{
		Class:  "demo",
		Seed:   1217,
		Rate:   16000,
		Group:  people.Group{People: 18, Level: 4.4, Mix: people.Varied, Looseness: 0.9},
		Leader: Leader{Sound: sounds.Clap, LevelDB: -3},
		Flow:   Flow{CountIn: Spoken, CallPause: 1.9, Praise: true, TalkBefore: 2.5, LeaderDB: -14},
		Room:   acoustics.Room{RT60: 0.8},
		Background: Background{
			NoiseDB: -26, Voices: 2, TalkDB: -24, Laughs: 1, LaughDB: -14,
			Bumps: 1, BumpDB: -14,
		},
		Phone: acoustics.Phone{LowCut: 100, AGC: 1.5},
	}
	for _, id := range []string{
		"row", "tie-fast", "gangway", "haul-line", "throw", "spring-tide",
		"load", "clave", "row",
	} {
		s.Calls = append(s.Calls, calls[id])
	}
	return s
}
