package synth

import "clapladder.example/rhythm"

// DemoPhrase is a phrase of the demo as a bank writes it.
type DemoPhrase struct {
	ID     string
	Name   string // can be spoken in the rhythm
	Metre  string
	Tempo  float64
	Rhythm string // box notation
	Tier   int
}

// DemoPhrases is the small bank of the lunch-hour clapping group of a boatyard. The caller owns the slice.
func DemoPhrases() []DemoPhrase {
	return []DemoPhrase{
		{"haul", "Haul, haul, haul, haul", "4/4", 96, "x x x x", 1},
		{"knot", "Tie the knot", "4/4", 96, "x x x .", 1},
		{"dock", "Bring her into dock", "4/4", 96, "x x xx x", 2},
		{"coil", "Coiling rope, dropping sail", "4/4", 96, "xx x xx x", 2},
		{"incoming", "Tide coming … in", "4/4", 96, "x xx . x", 3},
		{"varnish", "Varnish on the deck, drying slow", "4/4", 92, "xxxx x xx x", 4},
		{"low-beam", "Mind … the low beam", "4/4", 96, "x .x x x", 4},
		{"ahoy", "Ahoy, ahoy", "4/4", 96, ".x x .x x", 5},
		{"high-tide", "Waiting … for high tide", "4/4", 96, "xx .x xx .", 6},
	}
}

// DemoScene is one lunch hour of that group: eighteen people in a shed that rings a little, nine calls from plain beats
// up and back to them, talk in between, 68 s at 16 kHz.
func DemoScene() Scene {
	calls := map[string]Call{}
	for _, p := range DemoPhrases() {
		phrase := FromRhythm(p.ID, rhythm.MustParse(p.Rhythm, p.Metre, p.Tempo))
		calls[p.ID] = Call{Phrase: phrase, Difficulty: float64(p.Tier)}
	}
	s := Scene{
		Class:      "demo",
		Seed:       1203,
		Rate:       16000,
		Group:      Group{People: 18, Level: 4.6, Mix: Varied, Looseness: 0.9},
		Leader:     Leader{Sound: Clap, LevelDB: -3},
		Flow:       Flow{CountIn: Spoken, CallPause: 1.9, Praise: true, TalkBefore: 2.5, LeaderDB: -14},
		Room:       Room{RT60: 0.8},
		Background: Background{NoiseDB: -26, Voices: 2, TalkDB: -24, Laughs: 1, LaughDB: -14, Bumps: 1, BumpDB: -14},
		Phone:      Phone{LowCut: 100, AGC: 1.5},
	}
	for _, id := range []string{"haul", "knot", "dock", "incoming", "varnish", "low-beam", "ahoy", "high-tide", "haul"} {
		s.Calls = append(s.Calls, calls[id])
	}
	return s
}
