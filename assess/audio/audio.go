package audio

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"
)

// Rate is the number of samples a second of every [Stream].
const Rate = 16000

// NoFFmpeg as [Options].FFmpeg says that no other program may be run.
const NoFFmpeg = "off"

// Options are the limits of what is accepted. The zero value has the defaults.
type Options struct {
	MaxDuration time.Duration // default 4 hours
	MaxChannels int           // default 8
	MaxBytes    int64         // read from the file; default 4 GiB. Of a video only the sound is read.
	FFmpeg      string        // path of ffmpeg; empty: looked for on the PATH; NoFFmpeg: never run
}

func (o Options) withDefaults() Options {
	if o.MaxDuration <= 0 {
		o.MaxDuration = 4 * time.Hour
	}
	if o.MaxChannels <= 0 {
		o.MaxChannels = 8
	}
	if o.MaxBytes <= 0 {
		o.MaxBytes = 4 << 30
	}
	return o
}

// Info describes the recording as it is in the file.
type Info struct {
	Format     string        // container: wav, aiff, flac, mp3, ogg, mp4, aac, caf, webm, amr …
	Codec      string        // such as pcm_s16le, aac, opus
	SampleRate int           // samples a second of each channel
	Channels   int           // before mixing to one
	Duration   time.Duration // what has been decoded so far; the whole length after io.EOF
	ByFFmpeg   bool          // decoded by the ffmpeg program
}

// Rates outside this range are taken for damage: telephones send 8,000 samples a
// second, measuring gear 192,000.
const (
	lowestRate  = 4000
	highestRate = 192000
)

// checkShape refuses rates and channel counts outside the limits.
func checkShape(format string, rate, channels int, opts Options) error {
	switch {
	case rate < lowestRate || rate > highestRate:
		return malformed(format, "this %s file claims %d samples a second; 4,000 to 192,000 are read", displayName(format), rate)
	case channels < 1:
		return malformed(format, "this %s file claims to have no channel", displayName(format))
	case channels > opts.MaxChannels:
		return &Error{
			Kind: KindLimit, Format: format, Limit: "max-channels",
			Message: fmt.Sprintf("the recording has %d channels, more than %d", channels, opts.MaxChannels),
			Advice:  "mix it down, or raise the limit (max-channels)",
		}
	}
	return nil
}

// sound is an opened recording: interleaved frames at the file's rate.
type sound struct {
	Info
	decoder
	step   float64 // quantisation step near zero, 0 if it is very fine
	coarse bool    // 8 bits a sample
	damage damage
	close  func() // may be nil
}

// decoder yields interleaved samples. decode fills dst, whose length is a
// multiple of the channels, and returns the number of frames, which is 0 only
// with an error; io.EOF is the end.
type decoder interface {
	decode(dst []float32) (frames int, err error)
}

type decodeFunc func(dst []float32) (int, error)

func (f decodeFunc) decode(dst []float32) (int, error) { return f(dst) }

// damage is what the decoder had to put up with.
type damage struct {
	cutShort  bool // the file ends before its sound does
	concealed int  // places replaced by silence
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
	opts = opts.withDefaults()
	in, err := newInput(ctx, r, opts.MaxBytes)
	if err != nil {
		return nil, err
	}
	s, err := open(ctx, in, opts)
	if err != nil {
		_ = in.close()
		return nil, plain(ctx, in, err)
	}
	in.commit()
	return newStream(ctx, in, s, opts)
}

func open(ctx context.Context, in *input, opts Options) (*sound, error) {
	head, _ := in.Peek(sniffLength)
	if fault := in.fault(); fault != nil {
		return nil, fault
	}
	c, err := sniff(head)
	if err != nil {
		return nil, err
	}
	if c.name != mp4File.name && in.size > opts.MaxBytes {
		return nil, tooLarge(opts.MaxBytes)
	}
	var s *sound
	panicked := safely(func() error {
		s, err = openContainer(c, in, opts)
		return nil
	})
	if panicked != nil {
		err = malformed(c.name, "this %s file is damaged: %w", c.display, panicked)
	}
	if what, ok := errors.AsType[*foreign](err); ok {
		return openFFmpeg(ctx, in, what, opts)
	}
	return s, err
}

func openContainer(c container, in *input, opts Options) (*sound, error) {
	switch c.name {
	case "wav":
		return openWAV(in, opts)
	case "aiff":
		return openAIFF(in, opts)
	case "flac":
		return openFLAC(in, opts)
	case "mp3":
		return openMP3(in, opts)
	case "ogg":
		return openOgg(in, opts)
	case "mp4":
		return openMP4(in, opts)
	case "aac":
		return openADTS(in, opts)
	}
	return nil, &foreign{container: c}
}

// plain finds the root of a failure: what happened to the reader or the context
// counts more than what a decoder made of it.
func plain(ctx context.Context, in *input, err error) error {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if fault := in.fault(); fault != nil {
		return fault
	}
	if e, ok := errors.AsType[*Error](err); ok {
		return e
	}
	return &Error{Kind: KindRead, Message: "the recording cannot be read: " + plainCause(err), Err: err}
}
