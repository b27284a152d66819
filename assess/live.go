package assess

import (
	"context"
	"errors"
	"fmt"
	"io"

	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/patterns/bank"
)

// Listener hears a warm-up while it goes on: samples in as they come, and after every answered
// round a report so far. It keeps 4 bytes for every millisecond, no samples, and is not safe for
// concurrent use. Make one with [NewListener].
//
// A report so far is provisional and says so: a round in it may later be named otherwise, or left
// out. Only the last three minutes at most are looked at again, so the cost does not grow with the
// warm-up (BenchmarkListener states it). The report at the end is made anew from the whole, and is
// that of [Recording] for a WAV file of the same samples.
type Listener struct {
	live  *audio.Live
	sofar *soFar
}

// NewListener begins to listen to one channel of rate samples a second. The bank is only read. The
// error is an *audio.Error about a rate that is not read.
func NewListener(rate int, bank *bank.Bank, o Options) (*Listener, error) {
	live, err := audio.NewLive(rate, 1, o.Audio)
	if err != nil {
		return nil, err
	}
	return &Listener{live, newSoFar(newScale(bank, o), live)}, nil
}

// Write takes the next samples, about -1 to 1, in pieces of any size, and doesn't keep them. It
// returns a report so far where there is news, otherwise nil; that takes up to a second after a
// piece with which an answer is over. The error is ctx's, or an *audio.Error about too long a
// recording; then nothing was taken, and [Listener.Finish] reports on what came before.
func (l *Listener) Write(ctx context.Context, samples []float32) (*Report, error) {
	ready, err := l.live.Write(samples)
	if err != nil {
		return nil, err
	}
	return l.sofar.take(ctx, ready)
}

// Finish ends listening and reports on all. The error is an *audio.Error about a recording without
// a sample, or ctx's.
func (l *Listener) Finish(ctx context.Context) (*Report, error) {
	ready, err := l.live.Finish()
	if err != nil {
		return nil, err
	}
	l.sofar.growing.Add(ready)
	return l.sofar.finish(ctx)
}

// Follow is [Recording] for sound that is still coming in through r, in any format that can be read
// as it comes, such as WAV with a size of 0 or all ones. It hands every report so far to tell,
// which must not keep Follow waiting long; an error of tell ends it. See [Listener] for what a
// report so far is.
func Follow(ctx context.Context, r io.Reader, bank *bank.Bank, o Options,
	tell func(*Report) error,
) (*Report, error) {
	stream, err := audio.Open(ctx, r, o.Audio)
	if err != nil {
		return nil, err
	}
	defer stream.Close()
	f := newSoFar(newScale(bank, o), stream)
	buffer := make([]float32, onset.SampleRate/4)
	for {
		n, err := stream.Read(buffer)
		report, wrong := f.take(ctx, buffer[:n])
		if report != nil && wrong == nil {
			wrong = tell(report)
		}
		switch {
		case wrong != nil:
			return nil, wrong
		case errors.Is(err, io.EOF):
			return f.finish(ctx)
		case err != nil:
			return nil, fmt.Errorf("reading sound: %w", err)
		}
	}
}
