// Package flac makes FLAC known to package audio. Import it for its effect.
package flac

import "clapladder.example/assess/audio/internal/codec"

func init() { codec.Register(codec.FLACFile, openFLAC) }
