package aac

import (
	"io"

	"clapladder.example/assess/audio/internal/codec"
)

// mp4Samples hands out the samples (coded frames) of a track in order.
type mp4Samples struct {
	ra     *codec.RandomAccess
	track  *mp4Track
	next   int // sample
	chunk  int
	left   uint32 // samples in the chunk
	run    int
	offset int64
	buf    []byte
	damage *codec.Damage
}

// maxAACFrame is what AAC allows: 6,144 bits for each channel (ISO/IEC 14496-3,
// 4.5.3), here for eight channels.
const maxAACFrame = 6144 / 8 * 8

// read returns the next frame, valid until the next call. A frame of impossible
// size is returned empty.
func (s *mp4Samples) read() ([]byte, error) {
	for s.left == 0 {
		if s.chunk >= len(s.track.chunks) || s.next >= s.track.count {
			return nil, io.EOF
		}
		s.chunk++
		for s.run+1 < len(s.track.runs) && uint32(s.chunk) >= s.track.runs[s.run+1].firstChunk {
			s.run++
		}
		if s.run >= len(s.track.runs) {
			return nil, io.EOF
		}
		s.left = s.track.runs[s.run].samples
		s.offset = int64(min(s.track.chunks[s.chunk-1], 1<<62))
	}
	if s.next >= s.track.count {
		return nil, io.EOF
	}
	size := s.track.fixed
	if size == 0 {
		size = s.track.sizes[s.next]
	}
	at := s.offset
	s.next++
	s.left--
	s.offset += int64(size)
	if size > maxAACFrame {
		return nil, nil
	}
	if s.buf == nil {
		s.buf = make([]byte, maxAACFrame)
	}
	p := s.buf[:size]
	err := s.ra.ReadAt(p, at)
	if codec.IsEnd(err) {
		s.damage.CutShort = true
		err = io.EOF
	}
	return p, err
}
