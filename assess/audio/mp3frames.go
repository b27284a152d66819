package audio

import (
	"encoding/binary"
	"io"
)

// mp3Header is the 4-byte header of an MPEG audio frame, Layer III
// (ISO/IEC 11172-3, 2.4.1.3; lower rates: 13818-3).
type mp3Header struct {
	bits    uint32
	version int // 1, 2, or 25 for the unofficial MPEG-2.5
	bitrate int // bits a second
	rate    int
	padding int
}

var mp3Bitrates = [2][15]int{
	{0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320},
	{0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160},
}

var mp3Rates = map[int][3]int{
	1:  {44100, 48000, 32000},
	2:  {22050, 24000, 16000},
	25: {11025, 12000, 8000},
}

// parseMP3Header accepts Layer III at a fixed bit rate index ("free format" files
// do not say how long their frames are).
func parseMP3Header(b uint32) (mp3Header, bool) {
	h := mp3Header{bits: b, version: [4]int{25, 0, 2, 1}[b>>19&3], padding: int(b >> 9 & 1)}
	layer, bitrate, rate := b>>17&3, b>>12&15, b>>10&3
	if b>>21 != 0x7ff || h.version == 0 || layer != 1 || bitrate == 0 || bitrate == 15 || rate == 3 || b&3 == 2 {
		return h, false
	}
	table := 0
	if h.version != 1 {
		table = 1
	}
	h.bitrate = mp3Bitrates[table][bitrate] * 1000
	h.rate = mp3Rates[h.version][rate]
	return h, true
}

func (h mp3Header) mono() bool { return h.bits>>6&3 == 3 }

func (h mp3Header) channels() int {
	if h.mono() {
		return 1
	}
	return 2
}

// sameStream reports whether both frames may belong to one recording.
func (h mp3Header) sameStream(o mp3Header) bool {
	return h.version == o.version && h.rate == o.rate && h.mono() == o.mono()
}

// samples is the number of samples of each channel in a frame.
func (h mp3Header) samples() int {
	if h.version == 1 {
		return 1152
	}
	return 576
}

// size is the length of the frame in bytes, header included.
func (h mp3Header) size() int { return h.samples()/8*h.bitrate/h.rate + h.padding }

// sideInfo is the length of the side information that follows the header and the
// optional checksum.
func (h mp3Header) sideInfo() int {
	switch {
	case h.version == 1 && !h.mono():
		return 32
	case h.version != 1 && h.mono():
		return 9
	}
	return 17
}

// body is the offset of the side information in the frame.
func (h mp3Header) body() int {
	if h.bits>>16&1 == 0 {
		return 6 // with checksum
	}
	return 4
}

// mainData reads from the side information how many bytes before this frame's own
// main data its bits begin, and how many bytes they fill.
func (h mp3Header) mainData(side []byte) (begin, length int) {
	at := 0
	take := func(n int) int {
		v := 0
		for range n {
			v = v<<1 | int(side[at/8]>>(7-at%8)&1)
			at++
		}
		return v
	}
	granules, beginBits, private, part := 1, 8, h.channels(), 63
	if h.version == 1 {
		granules, beginBits, private, part = 2, 9, 3+4*2, 59
		if h.mono() {
			private = 5 + 4
		}
	}
	begin = take(beginBits)
	at += private
	bits := 0
	for range granules * h.channels() {
		bits += take(12)
		at += part - 12
	}
	return begin, (bits + 7) / 8
}

// mp3Frames finds the frames of one MP3 recording and hands them to the decoder
// as whole frames, one at a time. Tags and junk are left out, and so are frames
// whose bits are missing: those are sent with empty side information, which
// decodes to silence.
type mp3Frames struct {
	in     *input
	first  mp3Header
	began  bool
	damage *damage

	frame     []byte // the frame being read by the decoder
	rest      []byte // what it has not read of it yet
	reservoir int    // bytes of main data before the frame that the decoder has
	history   []byte // the last of them, for repacking
	repack    bool
	seen      bool // a frame with sound has been passed on
	lost      lostFrames
}

// next moves to the next frame of the recording.
func (m *mp3Frames) next() (mp3Header, error) {
	junk := 0
	for {
		b, err := m.in.Peek(10)
		if len(b) < 4 {
			if err == nil || isEnd(err) {
				err = io.EOF
			}
			return mp3Header{}, err
		}
		if n := id3Length(b); n > 0 {
			if _, err := io.CopyN(io.Discard, m.in, int64(n)); err != nil {
				return mp3Header{}, io.EOF
			}
			continue
		}
		h, ok := parseMP3Header(binary.BigEndian.Uint32(b))
		if ok && (!m.began || h.sameStream(m.first)) && h.size() > h.body()+h.sideInfo() && (junk == 0 || m.confirmed(h)) {
			full, err := m.in.Peek(h.size())
			if len(full) < h.size() {
				if isEnd(err) {
					m.damage.cutShort = true
					err = io.EOF
				}
				return mp3Header{}, err
			}
			if m.seen && m.lost.found(junk, h.size()) {
				m.damage.concealed++
			}
			m.frame = append(m.frame[:0], full...)
			_, _ = m.in.Discard(h.size())
			return h, nil
		}
		if junk++; junk > longestJunk {
			m.damage.cutShort = true
			return mp3Header{}, io.EOF
		}
		_, _ = m.in.Discard(1)
	}
}

// confirmed looks whether another frame follows; a stray sync pattern in junk is
// not enough.
func (m *mp3Frames) confirmed(h mp3Header) bool {
	b, _ := m.in.Peek(h.size() + 4)
	if len(b) < h.size()+4 {
		return len(b) == h.size() // the very last frame
	}
	n, ok := parseMP3Header(binary.BigEndian.Uint32(b[h.size():]))
	return ok && n.sameStream(h)
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
func (m *mp3Frames) prepare(h mp3Header) {
	side := m.frame[h.body():][:h.sideInfo()]
	main := m.frame[h.body()+h.sideInfo():]
	begin, length := h.mainData(side)
	switch {
	case begin > m.reservoir || length > begin+len(main):
		if m.seen {
			m.damage.concealed++
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
func (m *mp3Frames) silence(h mp3Header, side []byte) {
	clear(side)
	if m.repack {
		main := m.frame[h.body()+h.sideInfo():]
		m.remember(main)
		m.selfContained(h, side, nil, 0, 0)
		return
	}
	if h.version == 1 {
		side[0], side[1] = byte(m.reservoir>>1), byte(m.reservoir<<7)
	} else {
		side[0] = byte(m.reservoir)
	}
}

// farthest is how many bytes a frame can point back.
func (m *mp3Frames) farthest(h mp3Header) int {
	if h.version == 1 {
		return 511
	}
	return 255
}

// selfContained repacks a frame so that all its bits are in the frame itself and
// no padding is needed. The decoder gets the length of padded frames wrong at
// 22,050 samples a second: it halves 144*bitrate/rate + padding, when 72*bitrate
// /rate + padding is right (ISO/IEC 13818-3, 2.4.2.3).
func (m *mp3Frames) selfContained(h mp3Header, side, main []byte, begin, length int) {
	data := append(append([]byte(nil), m.history[len(m.history)-begin:]...), main...)[:length]
	m.remember(main)

	bits := h.bits&^uint32(0xf200) | 14<<12 | 1<<16 // highest bit rate, no padding, no checksum
	big, _ := parseMP3Header(bits)
	size := 144 * big.bitrate / big.rate / 2
	body := 4 + h.sideInfo()
	if body+length > size {
		m.damage.concealed++
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
