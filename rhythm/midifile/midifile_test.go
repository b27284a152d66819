package midifile_test

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gitlab.com/gomidi/midi/v2"
	"gitlab.com/gomidi/midi/v2/smf"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/internal/anyphrase"
	"clapladder.example/rhythm/midifile"
)

func write(t testing.TB, p rhythm.Phrase, opts midifile.WriteOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, midifile.Write(&b, p, opts))
	return b.Bytes()
}

var meters = []string{
	"4/4", "3/4", "2/4", "2/2", "6/8", "9/8", "12/8", "3/8", "5/4=3+2",
	"7/8=2+2+3", "7/8=3+2+2", "5/8=2+3", "8/8=3+3+2", "6/8=2+2+2", "7/16=2+2+3", "4/16", "1/2",
}

func randomPhrase(r *rand.Rand) rhythm.Phrase { return anyphrase.Random(r, meters) }

func TestWrittenPhraseIsReadBack(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 1500 {
		p := randomPhrase(r)
		opts := midifile.WriteOptions{
			NoCountIn: r.IntN(2) == 0, Answer: r.IntN(2) == 0,
			Title: []string{"", "Down the gangway", "click", "Ebb – flood"}[r.IntN(4)],
		}
		got, err := midifile.Read(write(t, p, opts), midifile.ReadOptions{})
		require.NoError(t, err, "%s in %s, %+v", p, p.Meter(), opts)
		require.True(t, p.Equal(got), "%s in %s at %g came back as %s in %s", p, p.Meter(),
			p.Tempo(), got, got.Meter())
		require.InDelta(t, p.Tempo(), got.Tempo(), 0.0101, "%s", p)
	}
}

func TestTheLibraryReadsWhatWeWrite(t *testing.T) {
	p := rhythm.MustParse("x xx .x S", "4/4", 100)
	file, err := smf.ReadFrom(bytes.NewReader(write(t, p, midifile.WriteOptions{Answer: true})))
	require.NoError(t, err)
	require.Len(t, file.Tracks, 3)
	assert.Equal(t, smf.MetricTicks(480), file.TimeFormat)
	var at []int64
	var keys []uint8
	var ticks int64
	for _, e := range file.Tracks[2] {
		ticks += int64(e.Delta)
		var channel, key, velocity uint8
		if e.Message.GetNoteStart(&channel, &key, &velocity) {
			assert.Equal(t, uint8(9), channel)
			at, keys = append(at, ticks), append(keys, key)
		}
	}
	bar := int64(4 * 480)
	assert.Equal(t, []int64{bar, bar + 480, bar + 720, bar + 1200, bar + 1440}, at)
	assert.Equal(t, []uint8{39, 39, 39, 39, 36}, keys,
		"General MIDI 1: 39 hand clap, 36 bass drum (from memory)")
	assert.Equal(t, 3*bar, ticks, "count-in, phrase and answer")
	assert.Equal(t, int64(2400000), file.TimeAt(bar), "a bar at 100 beats a minute lasts 2.4 s")
}

func TestBytesOfTheSpecification(t *testing.T) {
	// Standard MIDI File 1.0, from memory: 100 beats a minute is 600000 microseconds, FF 51 03 09
	// 27 C0; 4/4 is FF 58 04 04 02 18 08; a track ends with FF 2F 00; channel 10 note on is 99.
	data := write(t, rhythm.MustParse("x x x x", "4/4", 100), midifile.WriteOptions{NoCountIn: true})
	for _, want := range []string{
		"4d546864000000060001000201e0", "ff51030927c0", "ff580404021808",
		"992758", "ff2f00",
	} {
		assert.Contains(t, hex.EncodeToString(data), want)
	}
	assert.Contains(t, hex.EncodeToString(write(t, rhythm.MustParse("x x", "6/8", 100),
		midifile.WriteOptions{})), "ff580406032408", "6/8: a click every 36 clocks")
	// Variable-length numbers of the specification, as the distance of one note from the start of
	// the file.
	for bytes, ticks := range map[string]int{
		"40": 0x40, "8100": 0x80, "c000": 0x2000,
		"ff7f": 0x3fff, "818000": 0x4000, "ffffff7f": 0x0fffffff,
	} {
		number, err := hex.DecodeString(bytes)
		require.NoError(t, err)
		taps, err := midifile.ReadTaps(raw(480, append(number, 0x99, 39, 90)))
		require.NoError(t, err)
		assert.InDelta(t, float64(ticks)/960, taps[0].Onsets[0], 1e-9,
			"120 quarters a minute where no tempo is given")
	}
}

// raw is a file of format 1 with the given division and track bodies.
func raw(division uint16, tracks ...[]byte) []byte {
	data := []byte{
		'M', 'T', 'h', 'd', 0, 0, 0, 6, 0, 1, 0, byte(len(tracks)), byte(division >> 8),
		byte(division),
	}
	for _, body := range tracks {
		data = append(data, 'M', 'T', 'r', 'k', byte(len(body)>>24), byte(len(body)>>16),
			byte(len(body)>>8), byte(len(body)))
		data = append(data, body...)
	}
	return data
}

// tune writes notes at the given ticks on a channel with the library, 480 ticks a quarter.
func tune(t testing.TB, meter string, tempo float64, channel, key, velocity uint8, ticks ...int) []byte {
	t.Helper()
	var count, unit uint8
	_, err := fmt.Sscanf(meter, "%d/%d", &count, &unit)
	require.NoError(t, err)
	file := smf.NewSMF1()
	file.TimeFormat = smf.MetricTicks(480)
	var head, line smf.Track
	head.Add(0, smf.MetaMeter(count, unit))
	head.Add(0, smf.MetaTempo(tempo))
	head.Close(0)
	last := 0
	for _, at := range ticks {
		line.Add(uint32(at-last), midi.NoteOn(channel, key, velocity))
		line.Add(1, midi.NoteOff(channel, key))
		last = at + 1
	}
	line.Close(0)
	require.NoError(t, file.Add(head))
	require.NoError(t, file.Add(line))
	data, err := file.Bytes()
	require.NoError(t, err)
	return data
}

func TestAnyLineOfNotesIsAPhrase(t *testing.T) {
	for _, c := range []struct {
		name         string
		data         []byte
		opts         midifile.ReadOptions
		meter, boxes string
		tempo        float64
	}{
		{
			"exact, a melody", tune(t, "4/4", 90, 0, 60, 80, 0, 480, 720, 1440),
			midifile.ReadOptions{},
			"4/4", "x xx . x", 90,
		},
		{
			"in bar 3 after silent bars", tune(t, "4/4", 90, 0, 60, 80, 3840, 4320),
			midifile.ReadOptions{},
			"4/4", "x x . .", 90,
		},
		{
			"a pickup keeps its bar", tune(t, "4/4", 90, 0, 60, 80, 1680, 1920),
			midifile.ReadOptions{},
			"4/4", ". . . .x | x . . .", 90,
		},
		{
			"played a little off", tune(t, "4/4", 90, 9, 39, 80, 0, 470, 735, 975, 1430),
			midifile.ReadOptions{},
			"4/4", "x xx x x", 90,
		},
		{
			"played early at the bar line", tune(t, "4/4", 90, 9, 39, 80, 1903, 2405, 2870, 3350),
			midifile.ReadOptions{},
			"4/4", "x x x x", 90,
		},
		{
			"a triplet as played", tune(t, "4/4", 90, 9, 39, 80, 0, 150, 330, 489, 961),
			midifile.ReadOptions{},
			"4/4", "xxx x x .", 90,
		},
		{
			"sixteenths as played", tune(t, "4/4", 90, 9, 39, 80, 0, 130, 235, 350, 488),
			midifile.ReadOptions{},
			"4/4", "xxxx x . .", 90,
		},
		{
			"compound, with the beat of three eighths",
			tune(t, "6/8", 120, 9, 39, 80, 0, 480, 720, 960, 1200),
			midifile.ReadOptions{},
			"6/8",
			"x.x xxx", 80,
		},
		{
			"sevens are grouped two first", tune(t, "7/8", 150, 9, 39, 80, 0, 480, 960, 1440),
			midifile.ReadOptions{},
			"7/8=2+2+3", "x x x.x", 150,
		},
		{
			"metre and tempo as told", tune(t, "4/4", 150, 9, 39, 80, 0, 720, 1200, 1680),
			midifile.ReadOptions{Meter: rhythm.MustParseMeter("7/8=3+2+2"), Tempo: 99},
			"7/8=3+2+2",
			"x x x | x . .", 99,
		},
		{
			"full velocity throughout is no accent", tune(t, "4/4", 90, 9, 39, 127, 0, 480),
			midifile.ReadOptions{},
			"4/4", "x x . .", 90,
		},
		{
			"loud notes are accents", tune(t, "4/4", 90, 9, 39, 115, 0, 480),
			midifile.ReadOptions{},
			"4/4", "X X . .", 90,
		},
		{
			"drum keys are body sounds", tune(t, "4/4", 90, 9, 36, 80, 0, 480),
			midifile.ReadOptions{},
			"4/4", "s s . .", 90,
		},
		{
			"but not off channel 10", tune(t, "4/4", 90, 3, 36, 80, 0, 480),
			midifile.ReadOptions{},
			"4/4", "x x . .", 90,
		},
		{
			"a ticked-off grid of 13", tune(t, "4/4", 90, 9, 39, 80, 0, 37, 185),
			midifile.ReadOptions{},
			"4/4", "xx...x....... . . .", 90,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := midifile.Read(c.data, c.opts)
			require.NoError(t, err)
			want := rhythm.MustParse(c.boxes, c.meter, c.tempo)
			assert.Equal(t, want.String(), got.String())
			assert.Equal(t, c.meter, got.Meter().String())
			assert.InDelta(t, c.tempo, got.Tempo(), 0.01)
		})
	}
}

func FuzzRead(f *testing.F) {
	for _, boxes := range []string{"x xx .x S", "xxx X . n | . . . ."} {
		var b bytes.Buffer
		require.NoError(f, midifile.Write(&b, rhythm.MustParse(boxes, "4/4", 96),
			midifile.WriteOptions{Answer: true}))
		f.Add(b.Bytes(), 0, 0)
	}
	f.Add(raw(0xe728, []byte{0x83, 0x74, 0x90, 60, 90, 0x83, 0x74, 60, 90}), 1, 60)
	f.Add(raw(1, []byte{0, 0x99, 39, 90, 0xff, 0x7f, 39, 90}), 0, 0)
	f.Fuzz(func(t *testing.T, data []byte, track, key int) {
		if p, err := midifile.Read(data, midifile.ReadOptions{Track: track, Key: key}); err == nil {
			again, err := midifile.Read(write(t, p, midifile.WriteOptions{}), midifile.ReadOptions{})
			require.NoError(t, err)
			require.True(t, p.Equal(again), "%s became %s", p, again)
		} else {
			_, ok := errors.AsType[*midifile.Error](err)
			require.True(t, ok, "%v", err)
		}
		taps, err := midifile.ReadTaps(data)
		for _, stream := range taps {
			for i, at := range stream.Onsets {
				require.True(t, at >= 0 && (i == 0 || at >= stream.Onsets[i-1]))
			}
		}
		if err != nil {
			_, ok := errors.AsType[*midifile.Error](err)
			require.True(t, ok, "%v", err)
		}
	})
}

func Example() {
	phrase := rhythm.MustParse("x xx .x x", "4/4", 96)
	var file bytes.Buffer
	if err := midifile.Write(&file, phrase, midifile.WriteOptions{Answer: true}); err != nil {
		fmt.Println(err)
		return
	}
	again, err := midifile.Read(file.Bytes(), midifile.ReadOptions{})
	fmt.Println(again, again.Meter(), again.Tempo(), err)
	// Output: x xx .x x 4/4 96 <nil>
}
