// Package aac makes AAC-LC known to package audio, in MP4, M4A, 3GP and MOV and bare. Import it for
// its effect. It links github.com/tphakala/go-aac, which is under the LGPL-2.1.
package aac

import "clapladder.example/assess/audio/internal/codec"

func init() {
	codec.Register(codec.MP4File, openMP4)
	codec.Register(codec.ADTSFile, openADTS)
}
