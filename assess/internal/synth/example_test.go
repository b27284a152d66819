package synth_test

import (
	"bytes"
	"fmt"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/rhythm"
)

// Two calls, answered by a dozen people who can do nearly everything.
func ExampleGenerate() {
	scene := synth.Scene{Seed: 1, Group: people.Group{People: 12, Level: 9}, Room: acoustics.Room{RT60: 0.4}}
	for _, notation := range []string{"x x x x", "x xx . x"} {
		phrase := people.FromRhythm(notation, rhythm.MustParse(notation, "4/4", 96))
		scene.Calls = append(scene.Calls, synth.Call{Phrase: phrase, Difficulty: 2})
	}
	recording, err := synth.Generate(scene)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, round := range recording.Truth.Rounds {
		fmt.Printf("%s: %d of %d people\n", round.Phrase, round.Response.Got, recording.Truth.People)
	}
	var file bytes.Buffer
	fmt.Println(signal.WriteWAV(&file, recording.Samples, recording.Rate))
	// Output:
	// x x x x: 12 of 12 people
	// x xx . x: 12 of 12 people
	// <nil>
}

func ExampleDemoScene() {
	for _, p := range synth.DemoPhrases()[:3] {
		fmt.Println(p.Tier, p.Rhythm, "–", p.Name)
	}
	fmt.Println(len(synth.DemoScene().Calls), "calls")
	// Output:
	// 1 x x x x – Row the boat home
	// 1 x x x . – Tie it fast
	// 2 x x xx x – Mind out, gangway clear
	// 9 calls
}
