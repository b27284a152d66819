package audio

import "clapladder.example/assess/audio/internal/codec"

// Error is the error of [Open] and [Stream.Read] for everything but cancellation, which comes back
// as the context's own error. Its Kind is for programs, Message and Advice are for people.
type Error = codec.Error

// Kind says what is wrong with a recording, for callers that branch on it:
//
//	empty         no bytes, or a valid file without a single sample
//	directory     a folder instead of a file
//	not-audio     text, a picture, an archive …
//	malformed     the right format, but damaged beyond use
//	unsupported   a valid recording that cannot be decoded here
//	needs-ffmpeg  decodable by ffmpeg, which was not found or not allowed
//	limit         larger than [Options] allow
//	read          the reader failed
type Kind = codec.Kind

// Options are the limits of what is accepted. The zero value has the defaults: 4 hours, 8 channels,
// 4 GiB, ffmpeg looked for on the PATH.
type Options = codec.Options

// NoFFmpeg as [Options].FFmpeg says that no other program may be run.
const NoFFmpeg = codec.NoFFmpeg

// Info describes the recording as it is in the file.
type Info = codec.Info
