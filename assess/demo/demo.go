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
	"clapladder.example/assess/internal/synth/signal"
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
	return signal.WriteWAV(w, r.sound.Samples, r.sound.Rate)
}

// WarmUp makes the demo's recording: a leader, eighteen people, a shed that rings, talk, a phone.
// It is made once and takes a moment.
var WarmUp = sync.OnceValues(func() (*Recording, error) { return record(synth.DemoScene()) })

func record(scene synth.Scene) (*Recording, error) {
	sound, err := synth.Generate(scene)
	if err != nil {
		return nil, err
	}
	return &Recording{
		Calls: len(scene.Calls), People: sound.Truth.People, Duration: sound.Truth.Duration, sound: sound,
	}, nil
}

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
