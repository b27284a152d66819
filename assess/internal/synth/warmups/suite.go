package warmups

import (
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/signal"
)

// Split names one half of the warm-ups that figures are measured on.
type Split uint8

// The halves. Settings are chosen on Tuning; figures that are reported come from Untouched.
const (
	Tuning Split = iota
	Untouched
)

// Suite draws n warm-ups of one half with calls from the bank: every fourth is an ordinary one, the
// others go through [Presets] in turn, so that n of 40 or more has every class. Seeds of the halves
// never meet: the last bit of a seed says which half it belongs to. Scene.Class is the label for
// figures.
//
// The scenes cost nothing; [Generate] makes the sound.
func Suite(base uint64, n int, split Split, bank []Item) []synth.Scene {
	scenes := make([]synth.Scene, 0, n)
	next := 1
	for i := range n {
		preset := presets[0]
		if i%4 != 0 {
			preset = presets[next]
			next = next%(len(presets)-1) + 1
		}
		seed := signal.Scatter(base+uint64(i)*0x9e3779b97f4a7c15)&^1 | uint64(split&1)
		scenes = append(scenes, preset.Scene(seed, bank))
	}
	return scenes
}

// SessionSeed is the seed of the i-th warm-up of every class of [Sessions] in one half. It is the same
// for all classes, so that each can be compared with the same people undisturbed.
func SessionSeed(base uint64, i int, split Split) uint64 {
	return signal.Scatter(^base+uint64(i)*0x9e3779b97f4a7c15)&^1 | uint64(split&1)
}
