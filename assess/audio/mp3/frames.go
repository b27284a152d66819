package mp3

import (
	"encoding/binary"
	"io"

	"clapladder.example/assess/audio/internal/codec"
)

// mp3Frames finds the frames of one MP3 recording. Tags and junk are left out.
type mp3Frames struct {
	in     *codec.Input
	first  codec.MP3Header
	began  bool
	damage *codec.Damage

	frame []byte // the frame found last
	seen  bool   // a frame with sound has been decoded
	lost  codec.LostFrames
}

// next moves to the next frame of the recording.
func (m *mp3Frames) next() (codec.MP3Header, error) {
	junk := 0
	for {
		b, err := m.in.Peek(10)
		if len(b) < 4 {
			if err == nil || codec.IsEnd(err) {
				err = io.EOF
			}
			return codec.MP3Header{}, err
		}
		if n := codec.ID3Length(b); n > 0 {
			if _, err := io.CopyN(io.Discard, m.in, int64(n)); err != nil {
				return codec.MP3Header{}, io.EOF
			}
			continue
		}
		h, ok := codec.ParseMP3Header(binary.BigEndian.Uint32(b))
		if ok && (!m.began || h.SameStream(m.first)) && h.Size() > h.Body()+h.SideInfo() &&
			(junk == 0 || m.confirmed(h)) {
			full, err := m.in.Peek(h.Size())
			if len(full) < h.Size() {
				if codec.IsEnd(err) {
					m.damage.CutShort = true
					err = io.EOF
				}
				return codec.MP3Header{}, err
			}
			if m.seen && m.lost.Found(junk, h.Size()) {
				m.damage.Concealed++
			}
			m.frame = append(m.frame[:0], full...)
			_, _ = m.in.Discard(h.Size())
			return h, nil
		}
		if junk++; junk > codec.LongestJunk {
			m.damage.CutShort = true
			return codec.MP3Header{}, io.EOF
		}
		_, _ = m.in.Discard(1)
	}
}

// confirmed looks whether another frame follows; a stray sync pattern in junk is
// not enough.
func (m *mp3Frames) confirmed(h codec.MP3Header) bool {
	b, _ := m.in.Peek(h.Size() + 4)
	if len(b) < h.Size()+4 {
		return len(b) == h.Size() // the very last frame
	}
	n, ok := codec.ParseMP3Header(binary.BigEndian.Uint32(b[h.Size():]))
	return ok && n.SameStream(h)
}
