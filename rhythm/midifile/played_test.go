package midifile_test

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gitlab.com/gomidi/midi/v2"
	"gitlab.com/gomidi/midi/v2/smf"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/midifile"
)

func TestPlayedPhrasesAreRecognised(t *testing.T) {
	// Common cells with an error of up to 3 per cent of the beat at each note come back as they
	// were meant.
	r := rand.New(rand.NewPCG(7, 7))
	for _, c := range [][2]string{
		{"4/4", "x xx x x"},
		{"4/4", "x.x. .xx. xxxx x"},
		{"4/4", "xxx x .x x"},
		{"4/4", "x..x .x.. x x"},
		{"3/4", "x .x x"},
		{"6/8", "x.x xxx"},
		{"12/8", "x.x .xx x x"},
		{"7/8=2+2+3", "x x xxx"},
	} {
		p := rhythm.MustParse(c[1], c[0], 100)
		for range 100 {
			var ticks []int
			for _, s := range p.Strokes() {
				beat := 480 * 4 * p.Meter().BeatUnits(0) / p.Meter().Unit()
				at := 9600 + s.Step*480/p.StepsPerQuarter() + int(float64(beat)*(0.06*r.Float64()-0.03))
				ticks = append(ticks, at)
			}
			bar := 480 * 4 * p.Meter().Count() / p.Meter().Unit()
			for i := range ticks {
				ticks[i] += (bar - 9600%bar) % bar
			}
			got, err := midifile.Read(tune(t, strings.Split(c[0], "=")[0], 100, 9, 39, 80,
				ticks...), midifile.ReadOptions{Meter: p.Meter()})
			require.NoError(t, err)
			require.True(t, p.Equal(got), "%s came back as %s from %v", p, got, ticks)
		}
	}
}

func TestTheRightTrackIsRead(t *testing.T) {
	file := smf.NewSMF1()
	file.TimeFormat = smf.MetricTicks(96)
	add := func(name string, channel, key uint8, ticks ...uint32) {
		var track smf.Track
		track.Add(0, smf.MetaTrackSequenceName(name))
		last := uint32(0)
		for _, at := range ticks {
			track.Add(at-last, midi.NoteOn(channel, key, 90))
			last = at
		}
		track.Close(0)
		require.NoError(t, file.Add(track))
	}
	add("Metronome", 9, 76, 0, 96, 192, 288)
	add("Tune", 0, 60, 0)
	add("Drums", 9, 38, 0, 96)
	add("Claps", 9, 39, 0, 96, 192)
	data, err := file.Bytes()
	require.NoError(t, err)
	for opts, want := range map[midifile.ReadOptions]string{
		{}:                  "x x x .",
		{Track: 1}:          "x x x x",
		{Track: 2}:          "x . . .",
		{Key: 38}:           "x x . .",
		{Track: 3, Key: 38}: "x x . .",
	} {
		got, err := midifile.Read(data, opts)
		require.NoError(t, err)
		assert.Equal(t, want, got.String(), "%+v", opts)
	}
	for _, opts := range []midifile.ReadOptions{{Track: 5}, {Track: -1}, {Track: 2, Key: 39}, {Key: 99}} {
		_, err := midifile.Read(data, opts)
		problem, ok := errors.AsType[*midifile.Error](err)
		require.True(t, ok, "%+v", opts)
		assert.Regexp(t, "no (track|such note)", problem.Message)
		assert.NotEmpty(t, problem.Advice)
	}
}

func TestNotesAtOnePlaceAreTheLoudest(t *testing.T) {
	for _, c := range []struct {
		first, second [2]byte // key, velocity
		want          string
	}{
		{[2]byte{39, 80}, [2]byte{36, 100}, "s . . ."},
		{[2]byte{39, 100}, [2]byte{36, 80}, "x . . ."},
		{[2]byte{36, 90}, [2]byte{39, 90}, "x . . ."},
	} {
		body := []byte{0, 0x99, c.first[0], c.first[1], 0, c.second[0], c.second[1]}
		got, err := midifile.Read(raw(480, body), midifile.ReadOptions{})
		require.NoError(t, err)
		assert.Equal(t, c.want, got.String())
		body[4] = 5 // a flam of five ticks as played is one stroke too
		got, err = midifile.Read(raw(480, body), midifile.ReadOptions{})
		require.NoError(t, err)
		assert.Equal(t, c.want, got.String(), "flam")
	}
}
