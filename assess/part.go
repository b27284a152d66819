package assess

import (
	"errors"
	"fmt"
	"io"
	"math"

	"clapladder.example/assess/internal/onset"
)

// PartError says that no such part of a recording can be listened to.
type PartError struct {
	From, To float64 // seconds, as asked for; To is 0 for the end
	Duration float64 // seconds, of the recording; 0 where it was not needed to see the mistake
}

// Error names the part and what is wrong with it, in one line.
func (e *PartError) Error() string {
	if e.Duration > 0 {
		const text = "the recording ends at %.1f s, before the part from %.1f s begins"
		return fmt.Sprintf(text, e.Duration, e.From)
	}
	return fmt.Sprintf("from %g s to %g s is no part of a recording", e.From, e.To)
}

// part is the part of a stream between two times. What lies outside is decoded, for the length of
// the recording, and dropped.
type part struct {
	stream onset.Reader
	skip   int64 // samples still to drop
	left   int64 // samples still to give
}

// newPart checks and prepares a part; to is 0 for the end.
func newPart(stream onset.Reader, from, to float64) (*part, error) {
	if !(from >= 0) || !(to >= 0) || math.IsInf(from, 0) || to > 0 && to <= from {
		return nil, &PartError{From: from, To: to}
	}
	p := &part{stream: stream, skip: int64(from * onset.SampleRate), left: math.MaxInt64}
	if to > 0 && to < math.MaxInt32 {
		p.left = int64(to*onset.SampleRate) - p.skip
	}
	return p, nil
}

// Read gives samples of the part. After the last of them it reads the stream to its end.
func (p *part) Read(samples []float32) (int, error) {
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

// place puts the times of a report on a part of a recording where they belong in the whole.
func (r *Report) place(from, to float64) {
	duration := r.Recording.Duration
	if from > 0 {
		r.shift(from)
		r.Recording.LeftOut = append([]LeftOut{{0, rounded(from, 1), NotAsked}}, r.Recording.LeftOut...)
	}
	if to > 0 && to < duration {
		left := LeftOut{rounded(to, 1), rounded(duration, 1), NotAsked}
		r.Recording.LeftOut = append(r.Recording.LeftOut, left)
	}
}

// shift moves every time by some seconds.
func (r *Report) shift(by float64) {
	all := func(times []float64) {
		for i, t := range times {
			times[i] = rounded(t+by, 4)
		}
	}
	move := func(times ...*float64) {
		for _, t := range times {
			if t != nil {
				*t = rounded(*t+by, 4)
			}
		}
	}
	for i := range r.Recording.LeftOut {
		l := &r.Recording.LeftOut[i]
		l.Start, l.End = rounded(l.Start+by, 1), rounded(l.End+by, 1)
	}
	for i := range r.Rounds {
		round := &r.Rounds[i]
		move(&round.Call.Start, &round.Call.End)
		all(round.Call.Onsets)
		if round.Response != nil {
			move(&round.Response.Start, &round.Response.End)
			all(round.Response.Onsets)
		}
		for k := range round.Notes {
			move(&round.Notes[k].Expected, round.Notes[k].Played)
		}
		for k := range round.Extras {
			move(&round.Extras[k].Time)
		}
	}
}
