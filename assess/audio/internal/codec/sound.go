package codec

import (
	"errors"
	"fmt"
	"math"
	"time"
)

// NoFFmpeg as [Options].FFmpeg says that no other program may be run.
const NoFFmpeg = "off"

// Options are the limits of what is accepted. The zero value has the defaults.
type Options struct {
	MaxDuration time.Duration // default 4 hours
	MaxChannels int           // default 8
	MaxBytes    int64         // read from the file; default 4 GiB. Of a video only the sound is read.
	FFmpeg      string        // path of ffmpeg; empty: looked for on the PATH; NoFFmpeg: never run
}

func (o Options) WithDefaults() Options {
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

// rateError says which rate was refused. It adds nothing to the message.
type rateError struct{ rate, channels int }

func (*rateError) Error() string { return "" }

// ShapeUnder says what is wrong with the rate of a recording that came inside another format: the
// same as err, in the name of that format. It is nil where err is about something else.
func ShapeUnder(format string, err error, opts Options) error {
	if refused, ok := errors.AsType[*rateError](err); ok {
		return CheckShape(format, refused.rate, refused.channels, opts)
	}
	return nil
}

// CheckShape refuses rates and channel counts outside the limits.
func CheckShape(format string, rate, channels int, opts Options) error {
	switch {
	case rate < lowestRate || rate > highestRate:
		return Malformed(format, "this %s file claims %d samples a second; 4,000 to 192,000 are read%w",
			DisplayName(format), rate, &rateError{rate, channels})
	case channels < 1:
		return Malformed(format, "this %s file claims to have no channel", DisplayName(format))
	case channels > opts.MaxChannels:
		return &Error{
			Kind: KindLimit, Format: format, Limit: "max-channels",
			Message: fmt.Sprintf("the recording has %d channels, more than %d", channels, opts.MaxChannels),
			Advice:  "mix it down, or raise the limit (max-channels)",
		}
	}
	return nil
}

// Sound is an opened recording: interleaved frames at the file's rate.
type Sound struct {
	Info
	Decoder
	Step   float64 // quantisation step near zero, 0 if it is very fine
	Coarse bool    // 8 bits a sample
	Damage Damage
	Close  func() // may be nil
}

// Decoder yields interleaved samples. Decode fills dst, whose length is a
// multiple of the channels, and returns the number of frames, which is 0 only
// with an error; io.EOF is the end.
type Decoder interface {
	Decode(dst []float32) (frames int, err error)
}

type DecodeFunc func(dst []float32) (int, error)

func (f DecodeFunc) Decode(dst []float32) (int, error) { return f(dst) }

// Damage is what the decoder had to put up with.
type Damage struct {
	CutShort  bool // the file ends before its sound does
	Concealed int  // places replaced by silence
}

// Step is the distance of two neighbouring values of integer samples of so many bytes, full scale
// being 1. It is 0 for formats so fine that it does not matter.
func Step(bytes int) float64 {
	if bytes > 2 {
		return 0
	}
	return math.Ldexp(1, 1-8*bytes)
}
