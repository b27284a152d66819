// Package tape plays samples that are at hand, for tests of what listens.
package tape

import "io"

// Tape is a recording in memory, mono; reading uses it up.
type Tape []float32

// Read gives the next samples, and io.EOF after the last.
func (t *Tape) Read(dst []float32) (int, error) {
	n := copy(dst, *t)
	*t = (*t)[n:]
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}
