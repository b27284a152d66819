package midifile

import "fmt"

// Kind is what is wrong with a file.
type Kind uint8

// The kinds.
const (
	NotMIDI     Kind = iota + 1 // some other sort of file
	Damaged                     // begins as a MIDI file but breaks off or contradicts itself
	Unsupported                 // a MIDI file, but not of a sort that has a phrase
	NoNotes                     // nothing to read where asked
	TooLarge                    // beyond the limits of a phrase or a file
)

// Error says why a file was not read, and what to do instead.
type Error struct {
	Kind    Kind   // for programs
	Message string // what is wrong
	Advice  string // what to do instead
	Err     error  // the cause, if another error is one
}

// Error is one line: what is wrong, and what to do.
func (e *Error) Error() string {
	if e.Advice == "" {
		return e.Message
	}
	return e.Message + "; " + e.Advice
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

func damaged(format string, args ...any) *Error {
	return &Error{Kind: Damaged, Message: "the MIDI file is damaged: " + fmt.Sprintf(format, args...), Advice: "export it again"}
}
