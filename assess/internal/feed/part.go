package feed

import (
	"errors"
	"fmt"
	"io"
	"math"

	"clapladder.example/assess/internal/onset"
)

// Error says that no such part of a recording can be listened to.
type Error struct {
	From, To float64 // seconds, as asked for; To is 0 for the end
	Duration float64 // seconds, of the recording; 0 where it was not needed to see the mistake
}

// Error names the part and what is wrong with it, in one line.
func (e *Error) Error() string {
	if e.Duration > 0 {
		const text = "the recording ends at %.1f s, before the part from %.1f s begins"
		return fmt.Sprintf(text, e.Duration, e.From)
	}
	return fmt.Sprintf("from %g s to %g s is no part of a recording", e.From, e.To)
}

// Part is the part of a stream between two times. What lies outside is decoded, for the length of
// the recording, and dropped.
type Part struct {
	stream onset.Reader
	skip   int64 // samples still to drop
	left   int64 // samples still to give
}

// NewPart checks and prepares a part; to is 0 for the end.
func NewPart(stream onset.Reader, from, to float64) (*Part, error) {
	if !(from >= 0) || !(to >= 0) || math.IsInf(from, 0) || to > 0 && to <= from {
		return nil, &Error{From: from, To: to}
	}
	p := &Part{stream: stream, skip: int64(from * onset.SampleRate), left: math.MaxInt64}
	if to > 0 && to < math.MaxInt32 {
		p.left = int64(to*onset.SampleRate) - p.skip
	}
	return p, nil
}

// Read gives samples of the part. After the last of them it reads the stream to its end.
func (p *Part) Read(samples []float32) (int, error) {
	for {
		n, err := p.stream.Read(samples)
		if dropped := min(p.skip, int64(n)); dropped > 0 {
			p.skip -= dropped
			n = copy(samples, samples[dropped:n])
		}
		n = int(min(int64(n), p.left))
		p.left -= int64(n)
		if n > 0 || err != nil {
			if errors.Is(err, io.EOF) {
				return n, io.EOF
			}
			return n, err
		}
	}
}
