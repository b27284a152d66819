package audio

import (
	"context"
	"errors"
	"io"

	"clapladder.example/assess/audio/internal/codec"
	"clapladder.example/assess/audio/internal/pcm"
)

// Rate is the number of samples a second of every [Stream].
const Rate = 16000

func init() {
	codec.Register(codec.WAVFile, pcm.OpenWAV)
	codec.Register(codec.AIFFFile, pcm.OpenAIFF)
}

// Open recognises the recording in r and makes it ready for reading. It reads as
// much of r as it needs to know the format, all of it for MP4 from a reader that
// cannot seek and for formats decoded by ffmpeg. If r is an [io.ReadSeeker], it
// starts at the current position. Open never closes r; the caller must not use r
// until the stream is closed.
//
// The context ends Open and the stream's Read, which then fail with its cause.
// The error is an [*Error] otherwise.
func Open(ctx context.Context, r io.Reader, opts Options) (*Stream, error) {
	opts = opts.WithDefaults()
	in, err := codec.NewInput(ctx, r, opts.MaxBytes)
	if err != nil {
		return nil, err
	}
	s, err := open(ctx, in, opts)
	if err != nil {
		_ = in.Close()
		return nil, plain(ctx, in, err)
	}
	in.Commit()
	return newStream(ctx, in, s, opts)
}

func open(ctx context.Context, in *codec.Input, opts Options) (*codec.Sound, error) {
	head, _ := in.Peek(codec.SniffLength)
	if fault := in.Fault(); fault != nil {
		return nil, fault
	}
	c, err := codec.Sniff(head)
	if err != nil {
		return nil, err
	}
	if c.Name != codec.MP4File.Name && in.Size() > opts.MaxBytes {
		return nil, codec.TooLarge(opts.MaxBytes)
	}
	var s *codec.Sound
	panicked := codec.Safely(func() error {
		s, err = codec.Open(c, in, opts)
		return nil
	})
	if panicked != nil {
		err = codec.Malformed(c.Name, "this %s file is damaged: %w", c.Display, panicked)
	}
	if what, ok := errors.AsType[*codec.Foreign](err); ok {
		return codec.OpenForeign(ctx, in, what, opts)
	}
	return s, err
}

// plain finds the root of a failure: what happened to the reader or the context
// counts more than what a decoder made of it.
func plain(ctx context.Context, in *codec.Input, err error) error {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if fault := in.Fault(); fault != nil {
		return fault
	}
	if e, ok := errors.AsType[*Error](err); ok {
		return e
	}
	message := "the recording cannot be read: " + codec.PlainCause(err)
	return &Error{Kind: codec.KindRead, Message: message, Err: err}
}
