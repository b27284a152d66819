package midifile

import (
	"io"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/internal/midiwrite"
)

// WriteOptions choose what is around the phrase. The zero value is one bar of count-in and no room
// for an answer.
type WriteOptions = midiwrite.Options

// Write writes the phrase as a Standard MIDI File with its tempo and metre. Sounds, accents and the
// exact places are kept: [Read] gives an equal phrase, its tempo to a hundredth. It fails only
// where w does.
func Write(w io.Writer, p rhythm.Phrase, opts WriteOptions) error {
	return midiwrite.Write(w, p, opts)
}
