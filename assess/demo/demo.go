// Package demo makes up recordings of warm-ups that never took place: the lunch-hour clapping group
// of a boatyard that does not exist. Programs show their work on them, and tests of commands and
// pages listen to them.
package demo

import (
	"io"
	"strconv"
	"strings"
	"sync"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/rhythm"
)

// Recording is a made-up recording. It is only read, so it may be shared between goroutines.
type Recording struct {
	Calls    int     // that the leader makes
	People   int     // in the group
	Duration float64 // seconds

	sound *synth.Recording
}

// WriteWAV writes the sound as 16-bit mono WAV.
func (r *Recording) WriteWAV(w io.Writer) error {
	return synth.WriteWAV(w, r.sound.Samples, r.sound.Rate)
}

// WarmUp makes the demo's recording: a leader, eighteen people, a shed that rings, talk, a phone.
// It is made once and takes a moment.
var WarmUp = sync.OnceValues(func() (*Recording, error) { return record(synth.DemoScene()) })

// Short makes a warm-up of two of the demo's calls without anything around it, another for each
// seed.
func Short(seed uint64) (*Recording, error) {
	scene := synth.DemoScene()
	first := 2 * int(seed%uint64(len(scene.Calls)/2))
	scene.Seed, scene.Calls = seed, scene.Calls[first:first+2]
	scene.Flow.TalkBefore, scene.Flow.TalkAfter, scene.Flow.Practice, scene.Flow.After = 0, 0, 0, 0
	return record(scene)
}

// Alone makes one person clapping a phrase once in a quiet room.
func Alone(p rhythm.Phrase) (*Recording, error) {
	return record(synth.Scene{
		Seed:  3,
		Calls: []synth.Call{{Phrase: synth.FromRhythm("alone", p), Answer: synth.Nothing}},
		Room:  synth.Room{RT60: 0.3}, Background: synth.Background{NoiseDB: -40},
	})
}

// Silence makes a recording in which nothing sounds, at 16 kHz.
func Silence(seconds float64) *Recording {
	const rate = 16000
	samples := make([]float32, int(seconds*rate))
	return &Recording{Duration: seconds, sound: &synth.Recording{Samples: samples, Rate: rate}}
}

func record(scene synth.Scene) (*Recording, error) {
	sound, err := synth.Generate(scene)
	if err != nil {
		return nil, err
	}
	return &Recording{
		Calls: len(scene.Calls), People: sound.Truth.People, Duration: sound.Truth.Duration, sound: sound,
	}, nil
}

// Phrases is how many phrases [BankText] has.
func Phrases() int { return len(synth.DemoPhrases()) }

// BankText is a bank file of the phrases that the leader of [WarmUp] calls.
func BankText() string {
	var b strings.Builder
	b.WriteString("# The phrases of the made-up warm-up beside this file. A tier that is written " +
		"here wins over the program's own.\n")
	for _, p := range synth.DemoPhrases() {
		b.WriteString("\n[[phrase]]\n")
		for _, field := range [][2]string{
			{"id", strconv.Quote(p.ID)},
			{"name", strconv.Quote(p.Name)},
			{"meter", strconv.Quote(p.Metre)},
			{"tempo", strconv.FormatFloat(p.Tempo, 'f', -1, 64)},
			{"rhythm", strconv.Quote(p.Rhythm)},
			{"tier", strconv.Itoa(p.Tier)},
		} {
			b.WriteString(field[0] + " = " + field[1] + "\n")
		}
	}
	return b.String()
}
