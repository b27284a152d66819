package codec

import (
	"errors"
	"fmt"
	"io"
)

// Kind says what is wrong with a recording, for callers that branch on it.
type Kind string

// The kinds of [Error].
const (
	KindEmpty       Kind = "empty"        // no bytes, or a valid file without a single sample
	KindDirectory   Kind = "directory"    // a folder instead of a file
	KindNotAudio    Kind = "not-audio"    // text, a picture, an archive …
	KindMalformed   Kind = "malformed"    // the right format, but damaged beyond use
	KindUnsupported Kind = "unsupported"  // a valid recording that cannot be decoded here
	KindNeedsFFmpeg Kind = "needs-ffmpeg" // decodable by ffmpeg, which was not found or not allowed
	KindLimit       Kind = "limit"        // larger than [Options] allow
	KindRead        Kind = "read"         // the reader failed
)

// Error is the error of [Open] and [Stream.Read] for everything but cancellation,
// which comes back as the context's own error.
type Error struct {
	Kind    Kind   // for programs
	Format  string // container as recognised, like [Info].Format; empty if it was not
	Message string // what is wrong, without a full stop
	Advice  string // what to do instead; may be empty
	Limit   string // for KindLimit: "max-duration", "max-channels" or "max-bytes"
	Err     error  // cause, may be nil
}

// Error gives message and advice in one line.
func (e *Error) Error() string {
	if e.Advice == "" {
		return e.Message
	}
	return e.Message + "; " + e.Advice
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// convert is the one command that turns any recording into one that is read here.
const convert = "convert it with: ffmpeg -i IN -ac 1 OUT.wav"

func Malformed(format, message string, args ...any) *Error {
	err := fmt.Errorf(message, args...)
	return &Error{
		Kind: KindMalformed, Format: format, Message: err.Error(),
		Advice: "record or export it again", Err: errors.Unwrap(err),
	}
}

func Unsupported(format, message string, args ...any) *Error {
	return &Error{
		Kind: KindUnsupported, Format: format,
		Message: fmt.Sprintf(message, args...), Advice: convert,
	}
}

// truncatedHeader reports a file that ends before its sound begins.
func TruncatedHeader(format string) *Error {
	return Malformed(format, "this %s file ends before its sound begins", DisplayName(format))
}

// isEnd reports whether err only says that the bytes have run out.
func IsEnd(err error) bool {
	return errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF)
}

// ErrDecoder marks a panic inside a third-party decoder.
var ErrDecoder = errors.New("decoder failed on damaged data")

// safely runs f and turns a panic into an error. The decoders in use were
// written for well-formed files; recordings come from strangers.
func Safely(f func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("%w: %v", ErrDecoder, p)
		}
	}()
	return f()
}
