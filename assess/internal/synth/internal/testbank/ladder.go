// Package testbank is the phrases that the tests of synth call.
package testbank

import "clapladder.example/rhythm"

// Item is a phrase with its difficulty on the tier scale.
type Item struct {
	ID         string
	Phrase     rhythm.Phrase
	Difficulty float64
}

// Ladder is phrases from plain beats to additive metres. The caller owns the slice.
func Ladder() []Item {
	var ladder []Item
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
		phrase := rhythm.MustParse(e.notation, e.metre, e.tempo)
		ladder = append(ladder, Item{e.id, phrase, e.difficulty})
	}
	return ladder
}
