// Package ffmpeg lets package audio decode what is not decoded in Go through the ffmpeg program,
// where that is installed: Apple Lossless, AMR, CAF, WebM, HE-AAC and others. Import it for its
// effect.
package ffmpeg

import "clapladder.example/assess/audio/internal/codec"

func init() { codec.RegisterFallback(openFFmpeg) }
