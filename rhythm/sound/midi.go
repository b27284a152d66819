package sound

import (
	"io"

	"clapladder.example/rhythm/midifile"
)

// WriteMIDI writes the sequence as a Standard MIDI File, with the keys and tracks of
// [midifile.WriteSequence]. title names the file's first track; empty: none.
func (s *Sequence) WriteMIDI(w io.Writer, title string) error {
	out := make([]midifile.Section, len(s.sections))
	for i, section := range s.sections {
		out[i] = midifile.Section{Role: section.Role, Phrase: section.Phrase, Bars: section.Bars}
	}
	return midifile.WriteSequence(w, out, midifile.SequenceOptions{Click: s.click, Title: title})
}
