// Package formats makes every sound format known to package audio that can be decoded here. Import
// it for its effect:
//
//	import _ "clapladder.example/assess/audio/formats"
//
// Package audio itself reads WAV and AIFF. A program that wants fewer formats, or no module under
// the LGPL, imports the packages of single formats instead: flac, mp3, ogg (Vorbis and Opus), aac
// (MP4, M4A, 3GP, MOV and bare AAC; the one with the LGPL module) and ffmpeg (all others, through
// that program).
package formats

import (
	// For their effect.
	_ "clapladder.example/assess/audio/aac"
	_ "clapladder.example/assess/audio/flac"
	_ "clapladder.example/assess/audio/mp3"
	_ "clapladder.example/assess/audio/ogg"
)
