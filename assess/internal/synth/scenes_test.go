package synth

import "clapladder.example/rhythm"

// testBank is a ladder of phrases from plain beats to additive metres.
func testBank() []Item {
	var bank []Item
	for _, e := range []struct {
		id, metre, notation string
		tempo, difficulty   float64
	}{
		{"quay", "4/4", "x x x x", 96, 1},
		{"three-bells", "4/4", "x x x .", 96, 1.4},
		{"bowline", "4/4", "x x xx x", 96, 2},
		{"half-hitch", "4/4", "x xx x .", 100, 2.4},
		{"keel", "4/4", "xx . xx x", 96, 3},
		{"flood", "4/4", "x . xx x | xx x x .", 96, 3.4},
		{"ebb", "6/8", "x.x x..", 70, 3.8},
		{"capstan", "4/4", "xxxx x x.xx x", 88, 4.2},
		{"slack", "4/4", "xx .x xx .", 96, 5},
		{"gangway", "4/4", ".x .x xx x", 96, 5.6},
		{"reef", "6/8", "xxx x.x | x.. .xx", 72, 6},
		{"neap", "5/4", "x xx . x.xx x", 92, 6.6},
		{"spring", "7/8=2+2+3", "x. xx x.x", 120, 7},
		{"riptide", "4/4", ".x.x x..x .xx. x", 84, 7.8},
	} {
		bank = append(bank, Item{
			FromRhythm(e.id, rhythm.MustParse(e.notation, e.metre, e.tempo)),
			e.difficulty,
		})
	}
	return bank
}

// hallScene is ninety seconds of twenty-five people in a hall.
func hallScene() Scene {
	s := Scene{
		Seed: 7, Group: Group{People: 25, Level: 4, Mix: Varied}, Room: Room{RT60: 1.2},
		Background: Background{NoiseDB: -25, Voices: 3, TalkDB: -20},
		Flow:       Flow{Praise: true, CountIn: Spoken},
	}
	for _, item := range testBank()[:8] {
		s.Calls = append(s.Calls, Call{Phrase: item.Phrase, Difficulty: item.Difficulty, Pause: 4})
	}
	s.Flow.TalkBefore = 12
	return s
}
