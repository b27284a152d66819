package audio

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"time"

	"clapladder.example/assess/audio/internal/codec"
)

// Stream is an opened recording as mono samples at [Rate]. It must be closed. A
// Stream may be used by one goroutine at a time.
type Stream struct {
	ctx      context.Context
	in       *codec.Input
	sound    *codec.Sound
	most     int64 // frames
	frames   int64
	mixer    *mixer
	resample *resampler
	health   *health
	gain     gainWatch
	ducking  duckWatch
	mono     []float32
	out      []float32
	at       int
	err      error
	closed   bool
}

// newStream makes the chain behind an opened sound and decodes the first piece,
// so that a file without a sample is refused by Open.
func newStream(ctx context.Context, in *codec.Input, s *codec.Sound, opts Options) (*Stream, error) {
	st := &Stream{
		ctx: ctx, in: in, sound: s,
		most:     int64(math.Ceil(opts.MaxDuration.Seconds() * float64(s.SampleRate))),
		mixer:    newMixer(s.SampleRate, s.Channels),
		resample: newResampler(s.SampleRate),
		health:   newHealth(s),
	}
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

// nothing explains a recording without a sample.
func (s *Stream) nothing() error {
	if s.sound.Damage.Concealed > 0 {
		return codec.Malformed(s.sound.Format, "this %s file is damaged: nothing in it can be decoded", codec.DisplayName(s.sound.Format))
	}
	return &Error{
		Kind: KindEmpty, Format: s.sound.Format, Message: "this recording holds no sound",
		Advice: "check that the recorder was running",
	}
}

// Read fills dst with the next samples, about -1 to 1, and returns their number;
// it may be less than len(dst). At the end it returns 0 and [io.EOF]. Samples
// that were decoded before a failure are returned before the error.
//
// The samples do not depend on how large the pieces are that Read is asked for.
func (s *Stream) Read(dst []float32) (int, error) {
	if s.closed {
		return 0, &Error{Kind: KindRead, Message: "the stream is closed"}
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
	s.out, s.at = s.out[:0], 0
	block := s.mixer.block()
	n, err := s.Decode(block)
	s.frames += int64(n)
	if s.frames > s.most {
		n -= int(min(int64(n), s.frames-s.most))
		err = &Error{
			Kind: KindLimit, Format: s.sound.Format, Limit: "max-duration",
			Message: "the recording is longer than " + hours(s.most, s.sound.SampleRate),
			Advice:  "cut it, or raise the limit (max-duration)",
		}
	}
	block = block[:n*s.sound.Channels]
	s.health.observe(block)
	s.mono = s.mixer.push(s.mono[:0], block)
	if err != nil {
		s.mono = s.mixer.finish(s.mono)
	}
	s.out = s.resample.push(s.out, s.mono)
	if err != nil {
		s.out = s.resample.finish(s.out)
		s.err = err
	}
	s.gain.observe(s.out)
	s.ducking.observe(s.out)
}

// decode fills block with frames until the end of the file.
func (s *Stream) Decode(block []float32) (int, error) {
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
			got, err = 0, codec.Malformed(s.sound.Format, "this %s file is damaged: %w", codec.DisplayName(s.sound.Format), panicked)
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

func hours(frames int64, rate int) string {
	d := time.Duration(float64(frames) / float64(rate) * float64(time.Second)).Round(time.Second)
	switch {
	case d >= time.Hour && d%time.Hour == 0:
		return fmt.Sprintf("%d h", d/time.Hour)
	case d >= time.Minute && d%time.Minute == 0:
		return fmt.Sprintf("%d min", d/time.Minute)
	}
	return d.String()
}

// Info describes the recording; see [Info] for what is known when.
func (s *Stream) Info() Info {
	info := s.sound.Info
	info.Duration = time.Duration(math.Round(float64(s.frames) / float64(info.SampleRate) * float64(time.Second)))
	return info
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
