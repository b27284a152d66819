// Package tapfile reads the rounds of a warm-up from onset times: a table with the columns round,
// role (call or response) and time_s, or a Standard MIDI File whose first track is the calls and
// whose second is the responses.
package tapfile

import (
	"bytes"
	"fmt"
	"io"
	"math"
)

// Bounds of a file of taps. A warm-up has some dozen rounds.
const (
	MaxBytes  = 8 << 20
	MaxRounds = 500
)

// Round is one call with its answer, as onset times in seconds, ascending.
type Round struct {
	Label          string // as written in a table, or its number
	Line           int    // of its first row; 0 for MIDI
	Call, Response []float64
}

// Read reads rounds in order of first mention; which of the two kinds of file it is is seen from
// the content. Errors are *Error, or that of r.
func Read(r io.Reader) ([]Round, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("reading taps: %w", err)
	}
	if len(data) > MaxBytes {
		return nil, &Error{
			Message: fmt.Sprintf("the file is larger than %d MiB", MaxBytes>>20),
			Advice:  "split it by warm-ups",
		}
	}
	read := readTable
	if bytes.HasPrefix(data, []byte("MThd")) {
		read = readMIDI
	}
	rounds, err := read(data)
	if err != nil {
		return nil, err
	}
	if len(rounds) > MaxRounds {
		return nil, &Error{
			Message: fmt.Sprintf("the file has %d rounds, more than %d", len(rounds), MaxRounds),
			Advice:  "split it by warm-ups",
		}
	}
	return rounds, nil
}

// Error says what is wrong with a file of taps.
type Error struct {
	Line    int    // from 1; 0 where no line is meant
	Message string // what is wrong
	Advice  string // what to write instead
}

// Error is one line.
func (e *Error) Error() string {
	text := e.Message
	if e.Line > 0 {
		text = fmt.Sprintf("line %d: %s", e.Line, text)
	}
	if e.Advice != "" {
		text += "; " + e.Advice
	}
	return text
}

func validTime(x float64) bool { return !math.IsNaN(x) && x >= 0 && x <= 1e6 }
