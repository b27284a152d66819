package midiwrite_test

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gitlab.com/gomidi/midi/v2/smf"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/internal/anyphrase"
	"clapladder.example/rhythm/internal/midiwrite"
	"clapladder.example/rhythm/midifile"
)

func writeSequence(t testing.TB, sections []midiwrite.Section, opts midiwrite.SequenceOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, midiwrite.WriteSequence(&b, sections, opts))
	return b.Bytes()
}

// calledAndAnswered is a count-in, then each phrase and its answer.
func calledAndAnswered(phrases ...rhythm.Phrase) []midiwrite.Section {
	out := []midiwrite.Section{{Role: midiwrite.CountIn, Phrase: phrases[0], Bars: 1}}
	for _, p := range phrases {
		out = append(out, midiwrite.Section{Role: midiwrite.Call, Phrase: p, Bars: p.Bars()},
			midiwrite.Section{Role: midiwrite.Answer, Phrase: p, Bars: p.Bars()})
	}
	return out
}

func TestTapsOfASequenceAreAtTheirSecondsThroughEveryTempo(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 200 {
		var phrases []rhythm.Phrase
		for range 1 + r.IntN(4) {
			phrases = append(phrases, anyphrase.Random(r, []string{"4/4", "3/4", "6/8", "7/8=2+2+3"}))
		}
		sections := calledAndAnswered(phrases...)
		streams, err := midifile.ReadTaps(writeSequence(t, sections, midiwrite.SequenceOptions{Click: true}))
		require.NoError(t, err)
		require.Len(t, streams, 4)
		want := map[string][]float64{}
		at := 0.0
		for _, s := range sections {
			for _, stroke := range s.Phrase.Strokes() {
				want[s.Role+"s"] = append(want[s.Role+"s"], at+s.Phrase.Seconds(stroke.Step))
			}
			at += float64(s.Bars) * s.Phrase.Seconds(s.Phrase.BarSteps())
		}
		for i, name := range []string{"calls", "answers"} {
			assert.Equal(t, name, streams[i].Name)
			// tempo is stored in whole microseconds a quarter
			require.InDeltaSlice(t, want[name], streams[i].Onsets, 1e-3, "%v", phrases)
		}
		assert.Equal(t, []string{"count-in", "click"}, []string{streams[2].Name, streams[3].Name})
	}
}

func TestTheFirstCallOfASequenceIsReadBack(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 2))
	for range 300 {
		p, q := anyphrase.Random(r, []string{"4/4", "3/4", "6/8", "7/8=2+2+3"}), anyphrase.Random(r, []string{"4/4", "3/4", "6/8", "7/8=2+2+3"})
		if p.Meter() != q.Meter() { // which Read refuses
			q = p.WithTempo(200)
		}
		got, err := midifile.Read(writeSequence(t, calledAndAnswered(p, q),
			midiwrite.SequenceOptions{Click: r.IntN(2) == 0}), midifile.ReadOptions{Track: 2})
		require.NoError(t, err)
		if p.StepsPerQuarter() <= 240 && q.StepsPerQuarter() <= 240 { // finer grids together may be beyond the format's ticks
			require.True(t, p.Equal(got), "%s in %s at %g came back as %s in %s", p, p.Meter(),
				p.Tempo(), got, got.Meter())
		}
		require.InDelta(t, p.Tempo(), got.Tempo(), 0.0101)
	}
}

func TestASequenceHasItsKeysTemposAndMarkers(t *testing.T) {
	p, q := rhythm.MustParse("x s p N", "4/4", 100), rhythm.MustParse("x.. x.x", "6/8", 60)
	sections := append(calledAndAnswered(p), midiwrite.Section{
		Role: midiwrite.Pause, Phrase: q,
		Bars: 2,
	}, midiwrite.Section{Role: midiwrite.Call, Phrase: q, Bars: 1},
		midiwrite.Section{Role: midiwrite.Gap, Phrase: q, Bars: 1})
	file, err := smf.ReadFrom(bytes.NewReader(writeSequence(t, sections,
		midiwrite.SequenceOptions{Click: true, Title: "Ebb"})))
	require.NoError(t, err)
	require.Len(t, file.Tracks, 5)
	var markers []string
	var tempos []float64
	var title string
	for _, e := range file.Tracks[0] {
		var text string
		var bpm float64
		if e.Message.GetMetaMarker(&text) {
			markers = append(markers, text)
		}
		if e.Message.GetMetaTempo(&bpm) {
			tempos = append(tempos, bpm)
		}
		e.Message.GetMetaTrackName(&title)
	}
	assert.Equal(t, "Ebb", title)
	assert.Equal(t, []string{"count-in", "phrase", "answer", "pause", "phrase", "answer", "end"}, markers)
	assert.InDeltaSlice(t, []float64{100, 90}, tempos, 1e-4, "a dotted quarter at 60 is 90 quarters a minute")
	// General MIDI 1, percussion: 36 bass drum, 37 side stick, 39 hand clap, 41 low floor tom, 76
	// and 77 wood blocks.
	for track, want := range [][]uint8{
		nil,
		{39, 36, 41, 37, 39, 39, 39},
		{39, 36, 41, 37},
		{76, 77, 77, 77},
		{76, 77, 77, 77, 76, 77, 77, 77, 76, 77, 76, 77, 76, 77, 76, 77},
	} {
		var keys []uint8
		for _, e := range file.Tracks[track] {
			var channel, key, velocity uint8
			if e.Message.GetNoteStart(&channel, &key, &velocity) {
				keys = append(keys, key)
				assert.Equal(t, uint8(9), channel, "channel 10")
			}
		}
		assert.Equal(t, want, keys, track)
	}
}

func TestASequenceThatCannotBeWrittenIsAnError(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 96)
	for _, sections := range [][]midiwrite.Section{
		nil,
		{{Role: midiwrite.Call, Bars: 1}},
		{{Role: midiwrite.Call, Phrase: p}},
	} {
		assert.Error(t, midiwrite.WriteSequence(&bytes.Buffer{}, sections, midiwrite.SequenceOptions{}))
	}
	assert.ErrorContains(t, midiwrite.WriteSequence(fullWriter{}, calledAndAnswered(p),
		midiwrite.SequenceOptions{}), "no space")
}

type fullWriter struct{}

func (fullWriter) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }
