package patterns_test

import (
	"bytes"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/midifile"
	"clapladder.example/rhythm/musicxml"
)

// Every phrase that comes with the program, parts of pieces too, must survive the formats that
// other programs read.
func TestTheStarterFilesSurviveStandardFiles(t *testing.T) {
	phrases := map[string]rhythm.Phrase{}
	for _, e := range bank.Starter().Entries {
		phrases[e.ID] = e.Phrase
	}
	for _, piece := range bank.StarterRepertoire().Pieces {
		for _, part := range piece.Parts {
			phrases[piece.ID+" "+part.Name] = part.Phrase
		}
	}
	require.Greater(t, len(phrases), 100)
	formats := map[string]struct {
		write func(io.Writer, rhythm.Phrase) error
		read  func([]byte) (rhythm.Phrase, error)
	}{
		"MIDI": {
			func(w io.Writer, p rhythm.Phrase) error {
				return midifile.Write(w, p, midifile.WriteOptions{Answer: true})
			},
			func(data []byte) (rhythm.Phrase, error) { return midifile.Read(data, midifile.ReadOptions{}) },
		},
		"MusicXML": {
			func(w io.Writer, p rhythm.Phrase) error {
				return musicxml.Write(w, p,
					musicxml.WriteOptions{})
			},
			func(data []byte) (rhythm.Phrase, error) { return musicxml.Read(data, musicxml.ReadOptions{}) },
		},
		"compressed MusicXML": {
			func(w io.Writer, p rhythm.Phrase) error {
				return musicxml.Write(w, p, musicxml.WriteOptions{Compressed: true})
			},
			func(data []byte) (rhythm.Phrase, error) { return musicxml.Read(data, musicxml.ReadOptions{}) },
		},
	}
	for name, format := range formats {
		t.Run(name, func(t *testing.T) {
			for id, p := range phrases {
				var file bytes.Buffer
				require.NoError(t, format.write(&file, p), id)
				back, err := format.read(file.Bytes())
				require.NoError(t, err, id)
				if !assert.True(t, p.Equal(back), "%s: %s came back as %s", id, p, back) {
					continue
				}
				assert.InDelta(t, p.Tempo(), back.Tempo(), 0.02, id)
			}
		})
	}
}
