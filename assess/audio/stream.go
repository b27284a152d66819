package audio

import (
	"context"
	"errors"
	"io"

	"clapladder.example/assess/audio/internal/codec"
)

// Stream is an opened recording as mono samples at [Rate]. It must be closed. A
// Stream may be used by one goroutine at a time.
type Stream struct {
	chain
	ctx    context.Context
	in     *codec.Input
	at     int // in out
	err    error
	closed bool
}

// newStream makes the chain behind an opened sound and decodes the first piece,
// so that a file without a sample is refused by Open.
func newStream(ctx context.Context, in *codec.Input, s *codec.Sound, opts Options) (*Stream, error) {
	st := &Stream{ctx: ctx, in: in, chain: newChain(s, opts)}
	st.fill()
	if st.err != nil && st.frames == 0 {
		err := st.err
		if errors.Is(err, io.EOF) {
			err = st.nothing()
		}
		_ = st.Close()
		return nil, err
	}
	return st, nil
}

// Read fills dst with the next samples, about -1 to 1, and returns their number;
// it may be less than len(dst). At the end it returns 0 and [io.EOF]. Samples
// that were decoded before a failure are returned before the error.
//
// The samples do not depend on how large the pieces are that Read is asked for.
func (s *Stream) Read(dst []float32) (int, error) {
	if s.closed {
		return 0, &Error{Kind: codec.KindRead, Message: "the stream is closed"}
	}
	if len(dst) == 0 {
		return 0, nil
	}
	for s.at == len(s.out) {
		if s.err != nil {
			return 0, s.err
		}
		s.fill()
	}
	n := copy(dst, s.out[s.at:])
	s.at += n
	return n, nil
}

// fill decodes the next piece of the file.
func (s *Stream) fill() {
	s.at = 0
	block := s.mixer.block()
	n, err := s.decode(block)
	s.err = s.take(block[:n*s.sound.Channels], err)
}

// decode fills block with frames until the end of the file.
func (s *Stream) decode(block []float32) (int, error) {
	n := 0
	for n*s.sound.Channels < len(block) {
		if s.ctx.Err() != nil {
			return n, context.Cause(s.ctx)
		}
		var got int
		var err error
		panicked := codec.Safely(func() error {
			got, err = s.sound.Decode(block[n*s.sound.Channels:])
			return nil
		})
		if panicked != nil {
			got, err = 0, codec.Malformed(s.sound.Format, "this %s file is damaged: %w",
				codec.DisplayName(s.sound.Format), panicked)
		}
		n += got
		if err == nil {
			continue
		}
		if fault := s.in.Fault(); fault != nil || !errors.Is(err, io.EOF) {
			return n, plain(s.ctx, s.in, err)
		}
		return n, io.EOF
	}
	return n, nil
}

// Close frees what the stream holds: a temporary copy, a running ffmpeg. It does
// not close the reader given to Open. Closing twice does nothing.
func (s *Stream) Close() error {
	if s.closed {
		return nil
	}
	s.closed = true
	if s.sound.Close != nil {
		s.sound.Close()
	}
	return s.in.Close()
}
