package mp3

import (
	"encoding/binary"
	"io"

	"clapladder.example/assess/audio/internal/codec"
)

// mp3Frames finds the frames of one MP3 recording and hands them to the decoder
// as whole frames, one at a time. Tags and junk are left out, and so are frames
// whose bits are missing: those are sent with empty side information, which
// decodes to silence.
type mp3Frames struct {
	in     *codec.Input
	first  codec.MP3Header
	began  bool
	damage *codec.Damage

	frame     []byte // the frame being read by the decoder
	rest      []byte // what it has not read of it yet
	reservoir int    // bytes of main data before the frame that the decoder has
	history   []byte // the last of them, for repacking
	repack    bool
	seen      bool // a frame with sound has been passed on
	lost      codec.LostFrames
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

// Read gives the decoder the next bytes of the current frame and moves on at its
// end, never past it: after an error the failed frame is known.
func (m *mp3Frames) Read(p []byte) (int, error) {
	if len(m.rest) == 0 {
		h, err := m.next()
		if err != nil {
			return 0, err
		}
		m.prepare(h)
	}
	n := copy(p, m.rest)
	m.rest = m.rest[n:]
	return n, nil
}

// prepare makes sure that the decoder can decode the frame.
func (m *mp3Frames) prepare(h codec.MP3Header) {
	side := m.frame[h.Body():][:h.SideInfo()]
	main := m.frame[h.Body()+h.SideInfo():]
	begin, length := h.MainData(side)
	switch {
	case begin > m.reservoir || length > begin+len(main):
		if m.seen {
			m.damage.Concealed++
		}
		begin = m.reservoir
		m.silence(h, side)
	case m.repack:
		m.seen = true
		m.selfContained(h, side, main, begin, length)
	default:
		m.seen = true
	}
	m.reservoir = min(m.farthest(h), begin+len(main))
	m.rest = m.frame
}

// silence empties the side information, but lets the frame point back as far as
// possible, so that the decoder keeps the main data for the frames to come.
func (m *mp3Frames) silence(h codec.MP3Header, side []byte) {
	clear(side)
	if m.repack {
		main := m.frame[h.Body()+h.SideInfo():]
		m.remember(main)
		m.selfContained(h, side, nil, 0, 0)
		return
	}
	if h.Version == 1 {
		side[0], side[1] = byte(m.reservoir>>1), byte(m.reservoir<<7)
	} else {
		side[0] = byte(m.reservoir)
	}
}

// farthest is how many bytes a frame can point back.
func (m *mp3Frames) farthest(h codec.MP3Header) int {
	if h.Version == 1 {
		return 511
	}
	return 255
}

// selfContained repacks a frame so that all its bits are in the frame itself and
// no padding is needed. The decoder gets the length of padded frames wrong at
// 22,050 samples a second: it halves 144*bitrate/rate + padding, when 72*bitrate
// /rate + padding is right (ISO/IEC 13818-3, 2.4.2.3).
func (m *mp3Frames) selfContained(h codec.MP3Header, side, main []byte, begin, length int) {
	data := append(append([]byte(nil), m.history[len(m.history)-begin:]...), main...)[:length]
	m.remember(main)

	bits := h.Bits&^uint32(0xf200) | 14<<12 | 1<<16 // highest bit rate, no padding, no checksum
	big, _ := codec.ParseMP3Header(bits)
	size := 144 * big.Bitrate / big.Rate / 2
	body := 4 + h.SideInfo()
	if body+length > size {
		m.damage.Concealed++
		clear(side)
		data = nil
	}
	side[0] = 0 // bits begin in this frame
	frame := make([]byte, size)
	binary.BigEndian.PutUint32(frame, bits)
	copy(frame[4:], side)
	copy(frame[body:], data)
	m.frame = frame
}

// remember keeps the last 255 bytes of main data, as far as a frame can point back.
func (m *mp3Frames) remember(main []byte) {
	m.history = append(m.history, main...)
	if extra := len(m.history) - 255; extra > 0 {
		m.history = append(m.history[:0], m.history[extra:]...)
	}
}
