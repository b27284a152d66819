package assess

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess/internal/realsound"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/rhythm"
)

// Laws of what the benchmarks measure with.

func TestDelayOfACodecIsFound(t *testing.T) {
	recording, err := synth.Generate(synth.Scene{
		Seed: 5, Calls: []synth.Call{{Phrase: people.FromRhythm("a", rhythm.MustParse("x xx x x", "4/4", 96))}},
	})
	assert.NoError(t, err)
	x := recording.Samples
	for _, late := range []int{0, 20, 65} {
		y := append(make([]float32, late*realsound.Rate/1000), x...)
		assert.InDelta(t, float64(late)/1000, delay(x, y), 0.0011)
	}
	assert.InDelta(t, -0.01, delay(x, x[realsound.Rate/100:]), 0.0011)
}

func TestACallIsWrittenAsItWasClapped(t *testing.T) {
	clapped := people.FromRhythm("", rhythm.MustParse("x xx . x", "4/4", 100))
	same := Round{Notation: "x xx . x", Meter: "4/4", Call: Played{Tempo: 101}}
	assert.True(t, writtenAs(same, clapped, 100))
	half := Round{Notation: "x.xx ..x.", Meter: "2/4", Call: Played{Tempo: 50}}
	assert.True(t, writtenAs(half, clapped, 100), "in beats of twice the length")
	for _, notation := range []string{"x xx . .", "x xx x x", "x .x . x", "x x x x", "not a rhythm"} {
		r := Round{Notation: notation, Meter: "4/4", Call: Played{Tempo: 100}}
		assert.False(t, writtenAs(r, clapped, 100), notation)
	}
}

func TestTallyOfSessionsCountsForcedAndMissed(t *testing.T) {
	id := func(s string) *string { return &s }
	phrase := people.FromRhythm("", rhythm.MustParse("x xx x x", "4/4", 60))
	answer := func(at float64) *synth.Response {
		return &synth.Response{Notes: []synth.NoteTruth{{Time: at}}}
	}
	call := func(at float64) synth.Played { return synth.Played{Start: at, Tempo: 60, Notes: []float64{at}} }
	truth := synth.Truth{Rounds: []synth.Round{
		{Call: call(0), Response: answer(4)},
		{Call: call(10), Response: answer(14)},
		{Call: call(20), Response: answer(24)},
		{Phrase: "gangway", Call: call(30), Response: answer(34)},
		{Call: call(40)}, // nobody answered
	}}
	heard := func(phrase *string, notation string, at float64) Round {
		return Round{
			Phrase: phrase, Notation: notation, Meter: "4/4", Call: Played{Start: at, Tempo: 60},
			Response: &Response{Start: at + 4},
		}
	}
	report := &Report{Rounds: []Round{
		heard(nil, "x xx x x", 0.1),
		heard(id("row"), "x x x x", 10),
		heard(id("row"), "x x x x", 30),
		heard(id("row"), "x x x x", 60),
	}}
	var tally sessionTally
	phrases := []people.Phrase{phrase, phrase, phrase, phrase, phrase}
	tally.judgeRounds(report, truth, phrases, func(string, ...any) {})
	assert.Equal(t, sessionTally{
		truth: 4, found: 3, reported: 4, inBank: 1, outside: 3, written: 1, forced: 1, missed: 1,
	}, tally)
}
