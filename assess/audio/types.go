package audio

import "clapladder.example/assess/audio/internal/codec"

// Error is the error of [Open] and [Stream.Read] for everything but cancellation, which comes back
// as the context's own error. Its Kind is for programs, Message and Advice are for people.
type Error = codec.Error

// Kind says what is wrong with a recording, for callers that branch on it.
type Kind = codec.Kind

// The kinds of [Error].
const (
	KindEmpty       = codec.KindEmpty       // no bytes, or a valid file without a single sample
	KindDirectory   = codec.KindDirectory   // a folder instead of a file
	KindNotAudio    = codec.KindNotAudio    // text, a picture, an archive …
	KindMalformed   = codec.KindMalformed   // the right format, but damaged beyond use
	KindUnsupported = codec.KindUnsupported // a valid recording that cannot be decoded here
	KindNeedsFFmpeg = codec.KindNeedsFFmpeg // decodable by ffmpeg, which was not found or not allowed
	KindLimit       = codec.KindLimit       // larger than [Options] allow
	KindRead        = codec.KindRead        // the reader failed
)

// Options are the limits of what is accepted. The zero value has the defaults: 4 hours, 8 channels,
// 4 GiB, ffmpeg looked for on the PATH.
type Options = codec.Options

// NoFFmpeg as [Options].FFmpeg says that no other program may be run.
const NoFFmpeg = codec.NoFFmpeg

// Info describes the recording as it is in the file.
type Info = codec.Info
