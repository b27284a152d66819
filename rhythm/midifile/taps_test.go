package midifile_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gitlab.com/gomidi/midi/v2"
	"gitlab.com/gomidi/midi/v2/smf"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/midifile"
)

func TestTapsFollowTheTempo(t *testing.T) {
	file := smf.NewSMF1()
	file.TimeFormat = smf.MetricTicks(100)
	var head, calls, answers smf.Track
	head.Add(0, smf.MetaTempo(60))
	head.Add(200, smf.MetaTempo(120))
	head.Add(100, smf.MetaTempo(60))
	head.Close(0)
	calls.Add(0, smf.MetaTrackSequenceName("call"))
	for _, delta := range []uint32{0, 100, 100, 100, 100} {
		calls.Add(delta, midi.NoteOn(0, 60, 90))
	}
	calls.Add(0, midi.NoteOn(0, 64, 90)) // a chord is one tap
	calls.Close(0)
	answers.Add(50, midi.NoteOn(5, 1, 1))
	answers.Close(0)
	for _, track := range []smf.Track{head, calls, answers} {
		require.NoError(t, file.Add(track))
	}
	data, err := file.Bytes()
	require.NoError(t, err)
	taps, err := midifile.ReadTaps(data)
	require.NoError(t, err)
	assert.Equal(t, []midifile.Taps{
		{Name: "call", Onsets: []float64{0, 1, 2, 2.5, 3.5}},
		{Onsets: []float64{0.5}},
	}, taps)
}

func TestTapsOfOtherFiles(t *testing.T) {
	// 25 frames a second of 40 parts: a tick is a millisecond (Standard MIDI File 1.0, from
	// memory).
	taps, err := midifile.ReadTaps(raw(0xe728, []byte{0x83, 0x74, 0x90, 60, 90, 0x83, 0x74, 60, 90}))
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0.5, 1.0}, taps[0].Onsets, 1e-9)
	// Format 0 holds everything in one track: channels are streams.
	data := raw(480, []byte{0, 0x91, 60, 90, 0, 0x95, 60, 90, 0x87, 0x40, 0x91, 60, 90})
	data[9] = 0
	taps, err = midifile.ReadTaps(data)
	require.NoError(t, err)
	require.Len(t, taps, 2)
	assert.Equal(t, "channel 2", taps[0].Name)
	assert.InDeltaSlice(t, []float64{0, 1}, taps[0].Onsets, 1e-9)
	assert.Equal(t, "channel 6", taps[1].Name)
}

func ExampleReadTaps() {
	var file bytes.Buffer
	_ = midifile.Write(&file, rhythm.MustParse("x xx . x", "4/4", 120),
		midifile.WriteOptions{NoCountIn: true})
	streams, err := midifile.ReadTaps(file.Bytes())
	fmt.Println(streams[0].Onsets, err)
	// Output: [0 0.5 0.75 1.5] <nil>
}
