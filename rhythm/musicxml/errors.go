package musicxml

import (
	"fmt"
	"strings"
)

// Error says why a file was not read, where, and what to do instead.
type Error struct {
	Where   string // part and measure; empty if it is the whole file
	Message string // what is wrong
	Advice  string // what to do instead
	Err     error  // the cause, if another error is one
}

// Error is one line: where, what is wrong, what to do.
func (e *Error) Error() string {
	parts := make([]string, 0, 3)
	if e.Where != "" {
		parts = append(parts, e.Where+":")
	}
	parts = append(parts, e.Message)
	text := strings.Join(parts, " ")
	if e.Advice != "" {
		text += "; " + e.Advice
	}
	return text
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

func damaged(where, format string, args ...any) *Error {
	return &Error{Where: where, Message: fmt.Sprintf(format, args...), Advice: "export the score again"}
}
