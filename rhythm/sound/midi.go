package sound

import (
	"io"

	"clapladder.example/rhythm/internal/midiwrite"
)

// WriteMIDI writes the sequence as a Standard MIDI File with the keys of package midifile, which
// reads it: calls are the first track with notes, answers the second. title names the file's first
// track; empty: none.
func (s *Sequence) WriteMIDI(w io.Writer, title string) error {
	out := make([]midiwrite.Section, len(s.sections))
	for i, section := range s.sections {
		out[i] = midiwrite.Section{Role: section.Role, Phrase: section.Phrase, Bars: section.Bars}
	}
	return midiwrite.WriteSequence(w, out, midiwrite.SequenceOptions{Click: s.click, Title: title})
}
