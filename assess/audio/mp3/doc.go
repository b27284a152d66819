// Package mp3 makes MP3 known to package audio. Import it for its effect.
package mp3

import "clapladder.example/assess/audio/internal/codec"

func init() { codec.Register(codec.MP3File, openMP3) }
