// Package audio turns a recording, as phones and recorders write it, into one
// stream of mono samples at [Rate].
//
// The format is recognised by content, never by file name. This package reads WAV (all PCM depths,
// float, mu-law, A-law, EXTENSIBLE, RF64, RIFX), AIFF and AIFF-C. Packages below it make others
// known when they are imported, as those of package image do:
//
//	flac     FLAC
//	mp3      MP3
//	ogg      Ogg Vorbis, Ogg Opus
//	aac      AAC-LC in M4A, MP4, 3GP and MOV, and bare (links a module under the LGPL)
//	ffmpeg   through that program where it is installed: Apple Lossless, AMR, CAF, WebM, HE-AAC,
//	         fragmented MP4, WMA, WavPack and other rare ones
//	formats  all of these
//
// # From file to stream
//
//  1. The decoder yields frames at the file's own rate, with the silence that
//     encoders put in front (MP3, AAC, Opus) taken away again, so that time zero
//     is the first sample that was recorded.
//  2. A constant offset (DC) is measured over the first two seconds and removed.
//  3. The channels are mixed to one. Dead channels are left out and channels of
//     inverted polarity are turned round; see [Stream.Warnings].
//  4. A linear-phase low-pass resamples to [Rate]. Its delay is taken out: a
//     click at sample 0 of the file is at time 0 of the stream.
//
// A mono recording that already has 16,000 samples a second and no offset comes
// through bit for bit, scaled to [-1, 1).
//
// Memory does not grow with the length of the recording, except for the sample
// table of MP4 files (4 bytes for each AAC frame, about 0.7 MB an hour). MP4 from
// a reader that cannot seek, and everything that ffmpeg decodes, goes through a
// private temporary file, which is removed by [Stream.Close].
//
// # Trust
//
// No size that a file claims is believed before the bytes have been seen. What
// the third-party decoders do with damaged data is contained: a panic inside one
// becomes an [*Error]. The limits in [Options] bound time, memory and disk.
package audio
