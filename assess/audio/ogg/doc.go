// Package ogg makes Ogg Vorbis and Ogg Opus known to package audio. Import it for its effect.
package ogg

import "clapladder.example/assess/audio/internal/codec"

func init() { codec.Register(codec.OggFile, openOgg) }
