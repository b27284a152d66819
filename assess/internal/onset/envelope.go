package onset

import (
	"context"
	"errors"
	"fmt"
	"io"
)

const (
	// SampleRate is the rate of the samples this package takes, per second.
	SampleRate = 16000
	// FrameRate is the number of frames of an [Envelope] per second.
	FrameRate = 500
	// FrameSeconds is the length of one frame.
	FrameSeconds = 1.0 / FrameRate

	frameSamples = SampleRate / FrameRate
)

// The bands of an [Envelope]. Talk lives below 1 kHz and fades above 3 to 4 kHz; claps reach far above.
const (
	Low    = iota // 150 Hz to 1 kHz: thump and talk
	Mid           // 1 to 3 kHz
	High          // 3 to 5.5 kHz
	Bright        // above 5.5 kHz
	bandCount
)

var bandEdges = [bandCount]float64{150, 1000, 3000, 5500} // lower edges, Hz

// filterDelay is the time by which the bands' filters delay a clap's rise, in seconds; TestSingleClapsAreUnbiased leaves a mean error of less
// than 0.05 ms over its nine cases, and of at most 0.25 ms in any of them.
const filterDelay = 0.0002

// Envelope is the mean power per frame in each band, in units of full scale squared. Frame i covers
// i/FrameRate to (i+1)/FrameRate seconds.
type Envelope struct {
	Bands [bandCount][]float32 // mean power of each frame, indexed by Low, Mid, High and Bright
	// Clap is the power above 1 kHz: the sum of Mid, High and Bright. People's claps add as power there.
	Clap []float32
}

// Frames is the number of frames.
func (e *Envelope) Frames() int { return len(e.Clap) }

// Seconds is the length of the recording covered.
func (e *Envelope) Seconds() float64 { return float64(len(e.Clap)) / FrameRate }

// Reader is a stream of mono samples at [SampleRate]; it returns io.EOF at the end, perhaps with the last samples.
type Reader interface {
	Read(samples []float32) (int, error)
}

// ReadEnvelope reads the stream to its end. Samples are dropped as soon as their frame is done. It stops with ctx's error
// when ctx ends, and wraps errors of the reader.
func ReadEnvelope(ctx context.Context, r Reader) (*Envelope, error) {
	parts := []*Envelope{newPart()}
	var filters [bandCount]cascade
	for b, edge := range bandEdges {
		filters[b] = butterworth(edge, SampleRate)
	}
	const chunk = 64 * frameSamples
	buffer := make([]float32, chunk)
	held := 0
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		n, err := r.Read(buffer[held:])
		held += n
		done := errors.Is(err, io.EOF)
		if err != nil && !done {
			return nil, fmt.Errorf("reading sound: %w", err)
		}
		if done && held%frameSamples != 0 { // fill the last frame with silence
			end := held + frameSamples - held%frameSamples
			clear(buffer[held:end])
			held = end
		}
		if held == chunk || done {
			last := parts[len(parts)-1]
			if last.Frames() >= partFrames {
				last = newPart()
				parts = append(parts, last)
			}
			last.append(&filters, buffer[:held])
			held = 0
		}
		if done {
			return joined(parts), nil
		}
	}
}

// partFrames is how many frames are kept in one piece while reading. Slices that grow with a long recording would be copied again and again, and
// leave half as much again behind.
const partFrames = 1 << 15

func newPart() *Envelope {
	const room = partFrames + 64
	e := &Envelope{Clap: make([]float32, 0, room)}
	for b := range e.Bands {
		e.Bands[b] = make([]float32, 0, room)
	}
	return e
}

// joined puts the parts together, one curve after the other, and lets go of each part's as soon as it is done.
func joined(parts []*Envelope) *Envelope {
	if len(parts) == 1 {
		return parts[0]
	}
	frames := 0
	for _, p := range parts {
		frames += p.Frames()
	}
	join := func(curve func(*Envelope) *[]float32) []float32 {
		out := make([]float32, 0, frames)
		for _, p := range parts {
			out = append(out, *curve(p)...)
			*curve(p) = nil
		}
		return out
	}
	e := new(Envelope)
	for b := range e.Bands {
		e.Bands[b] = join(func(p *Envelope) *[]float32 { return &p.Bands[b] })
	}
	e.Clap = join(func(p *Envelope) *[]float32 { return &p.Clap })
	return e
}

// append adds the frames of whole-frame samples.
func (e *Envelope) append(filters *[bandCount]cascade, samples []float32) {
	start := len(e.Clap)
	for b := 0; b < bandCount; b += 2 {
		e.Bands[b], e.Bands[b+1] = powers(&filters[b], &filters[b+1], e.Bands[b], e.Bands[b+1], samples)
	}
	e.Clap = append(e.Clap, e.Bands[Mid][start:]...)
	// Each filter passes all above its edge: the band is what the next one does not pass.
	for b := range bandCount - 1 {
		lower, upper := e.Bands[b][start:], e.Bands[b+1][start:]
		for f := range lower {
			lower[f] = max(0, lower[f]-upper[f])
		}
	}
}
