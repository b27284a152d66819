package audio

import (
	"io"
)

// adtsHeaderSize is the length of the header without checksum.
const adtsHeaderSize = 7

// adtsHeader is the header of one frame (ISO/IEC 14496-3, 1.A.2.2).
type adtsHeader struct {
	config  [2]byte // the same as AudioSpecificConfig
	profile byte    // 1 is LC
	rate    byte    // index
	shape   byte    // channel configuration
	blocks  int     // coded frames inside, usually 1
	header  int     // bytes before them
	size    int     // bytes with header
}

func parseADTSHeader(b []byte) (adtsHeader, bool) {
	if len(b) < adtsHeaderSize || b[0] != 0xff || b[1]&0xf6 != 0xf0 {
		return adtsHeader{}, false
	}
	h := adtsHeader{
		profile: b[2] >> 6, rate: b[2] >> 2 & 15, shape: b[2]&1<<2 | b[3]>>6,
		size:   int(b[3]&3)<<11 | int(b[4])<<3 | int(b[5])>>5,
		blocks: int(b[6]&3) + 1, header: 7,
	}
	if b[1]&1 == 0 {
		h.header = 9
	}
	if h.rate > 12 || h.size <= h.header {
		return h, false
	}
	object := uint16(h.profile) + 1
	v := object<<11 | uint16(h.rate)<<7 | uint16(h.shape)<<3
	h.config = [2]byte{byte(v >> 8), byte(v)}
	return h, true
}

// adtsFrames hands out the frames of an ADTS stream and passes over junk.
type adtsFrames struct {
	in     *input
	first  adtsHeader
	buf    []byte
	seen   bool
	lost   lostFrames
	damage *damage
}

func (a *adtsFrames) read() ([]byte, error) {
	for junk := 0; ; junk++ {
		if junk > longestJunk {
			a.damage.cutShort = true
			return nil, io.EOF
		}
		b, err := a.in.Peek(10)
		if len(b) < adtsHeaderSize {
			if err == nil || isEnd(err) {
				err = io.EOF
			}
			return nil, err
		}
		if n := id3Length(b); n > 0 {
			if _, err := io.CopyN(io.Discard, a.in, int64(n)); err != nil {
				return nil, io.EOF
			}
			continue
		}
		h, ok := parseADTSHeader(b)
		if !ok || h.config != a.first.config || junk > 0 && !a.confirmed(h) {
			_, _ = a.in.Discard(1)
			continue
		}
		full, err := a.in.Peek(h.size)
		if len(full) < h.size {
			if isEnd(err) {
				a.damage.cutShort = true
				err = io.EOF
			}
			return nil, err
		}
		if a.seen && a.lost.found(junk, h.size) {
			a.damage.concealed++
		}
		a.seen = true
		a.buf = append(a.buf[:0], full[h.header:]...)
		_, _ = a.in.Discard(h.size)
		return a.buf, nil
	}
}

func (a *adtsFrames) confirmed(h adtsHeader) bool {
	b, _ := a.in.Peek(h.size + adtsHeaderSize)
	if len(b) < h.size+adtsHeaderSize {
		return len(b) == h.size
	}
	n, ok := parseADTSHeader(b[h.size:])
	return ok && n.config == h.config
}

// openADTS opens a bare AAC stream. It cannot say how much of its beginning is
// the encoder's, so the least that any encoder adds is left out.
func openADTS(in *input, opts Options) (*sound, error) {
	s := &sound{Info: Info{Format: "aac", Codec: "aac"}}
	frames := &adtsFrames{in: in, damage: &s.damage}
	for junk := 0; ; junk++ {
		b, err := in.Peek(10)
		if len(b) < adtsHeaderSize || junk > longestJunk {
			if err != nil && !isEnd(err) {
				return nil, err
			}
			return nil, malformed("aac", "this AAC file holds no complete frame")
		}
		if n := id3Length(b); n > 0 {
			if _, err := io.CopyN(io.Discard, in, int64(n)); err != nil {
				return nil, truncatedHeader("aac")
			}
			continue
		}
		if h, ok := parseADTSHeader(b); ok && frames.confirmed(h) {
			frames.first = h
			break
		}
		_, _ = in.Discard(1)
	}
	if h := frames.first; h.blocks > 1 || h.profile != 1 {
		return nil, &foreign{container: adtsFile, codec: "AAC other than AAC-LC", code: "aac"}
	}
	d := &aacDecoder{frames: frames.read, lost: &frames.lost, config: frames.first.config[:], damage: &s.damage, fault: in.fault}
	if err := d.start(); err != nil {
		return nil, aacStartError(adtsFile, err)
	}
	info := d.decoder.Info()
	s.SampleRate, s.Channels, d.channels = info.SampleRate, info.Channels, info.Channels
	if err := checkShape("aac", s.SampleRate, s.Channels, opts); err != nil {
		return nil, err
	}
	s.decoder = &blocks{channels: s.Channels, skip: aacPriming, next: d.next}
	return s, nil
}
