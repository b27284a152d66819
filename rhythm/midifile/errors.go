package midifile

import "fmt"

// Error says why a file was not read, and what to do instead.
type Error struct {
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
	return &Error{
		Message: "the MIDI file is damaged: " + fmt.Sprintf(format, args...),
		Advice:  "export it again",
	}
}
