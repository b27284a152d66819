package audio

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"strings"
)

// oggPacket is one packet of a logical Ogg stream (RFC 3533).
type oggPacket struct {
	data    []byte // valid until the next call
	granule int64  // of the page, on the last packet that ends there; else -1
	last    bool   // the stream ends here
	lost    bool   // pages before this packet are missing or damaged
}

// oggReader takes one logical stream out of an Ogg file. Pages with a wrong
// checksum are passed over, and reading goes on at the next good page.
type oggReader struct {
	in       *input
	serial   uint32
	chosen   bool
	page     oggPage
	at       int // next segment of page
	offset   int // its bytes in page.body
	partial  []byte
	sequence uint32
	lost     bool
	drop     bool // the packet under way began in a lost page
	ended    bool // the page marked as the stream's last has been used up
}

type oggPage struct {
	flags    byte
	granule  int64
	serial   uint32
	sequence uint32
	segments []byte
	body     []byte
	buf      [27 + 255 + 255*255]byte
}

const (
	oggContinued = 1
	oggFirst     = 2
	oggLast      = 4

	// maxOggPacket is far above the largest packet of speech or music.
	maxOggPacket = 8 << 20
)

var errOggPacket = errors.New("packet too large")

// readPage reads the next good page of any stream. The bool says whether bytes
// had to be passed over.
func (o *oggReader) readPage() (skipped bool, err error) {
	p := &o.page
	for {
		head, err := o.in.Peek(27)
		if len(head) < 27 {
			if err == nil || isEnd(err) {
				err = io.EOF
				if len(head) > 0 && bytes.HasPrefix(head, []byte("OggS")) {
					err = io.ErrUnexpectedEOF
				}
			}
			return skipped, err
		}
		if string(head[:4]) == "OggS" && head[4] == 0 {
			ok, err := p.load(o.in, int(head[26]))
			if ok || err != nil {
				return skipped, err
			}
		}
		skipped = true
		_, _ = o.in.Discard(1)
		if i := bytes.IndexByte(head[1:], 'O'); i > 0 {
			_, _ = o.in.Discard(i)
		}
	}
}

// load fills the page from the input if its checksum is right. The largest page
// (65,307 bytes) fits into the input's buffer.
func (p *oggPage) load(in *input, segments int) (bool, error) {
	b, err := in.Peek(27 + segments)
	if len(b) < 27+segments {
		return false, endOr(err)
	}
	size := 27 + segments
	for _, n := range b[27:] {
		size += int(n)
	}
	b, err = in.Peek(size)
	if len(b) < size {
		return false, endOr(err)
	}
	copy(p.buf[:], b)
	b = p.buf[:size]
	want := binary.LittleEndian.Uint32(b[22:])
	clear(b[22:26])
	if oggCRC(b) != want {
		return false, nil
	}
	p.flags = b[5]
	p.granule = int64(binary.LittleEndian.Uint64(b[6:]))
	p.serial = binary.LittleEndian.Uint32(b[14:])
	p.sequence = binary.LittleEndian.Uint32(b[18:])
	p.segments = b[27 : 27+segments]
	p.body = b[27+segments:]
	_, err = in.Discard(size)
	return true, err
}

func endOr(err error) error {
	if err == nil || isEnd(err) {
		return io.ErrUnexpectedEOF
	}
	return err
}

// next returns the next packet of the chosen stream, io.EOF after its last one
// and io.ErrUnexpectedEOF if the file ends before.
func (o *oggReader) next() (oggPacket, error) {
	for {
		if o.at < len(o.page.segments) {
			if pkt, ok, err := o.fromPage(); ok || err != nil {
				return pkt, err
			}
			continue
		}
		if o.ended {
			return oggPacket{}, io.EOF
		}
		if err := o.turn(); err != nil {
			return oggPacket{}, err
		}
	}
}

// turn moves to the next page of the chosen stream.
func (o *oggReader) turn() error {
	for {
		skipped, err := o.readPage()
		if err != nil {
			if errors.Is(err, io.EOF) {
				err = io.ErrUnexpectedEOF // the stream's last page is missing
			}
			return err
		}
		if o.chosen && o.page.serial != o.serial {
			continue
		}
		if o.chosen && (skipped || o.page.sequence != o.sequence) {
			o.lost = true
			o.partial = o.partial[:0]
		}
		o.sequence = o.page.sequence + 1
		o.at, o.offset = 0, 0
		continued := o.page.flags&oggContinued != 0
		if continued && len(o.partial) == 0 {
			o.drop = true
		}
		if !continued {
			o.partial, o.drop = o.partial[:0], false
		}
		o.ended = o.page.flags&oggLast != 0
		return nil
	}
}

// fromPage takes the next packet out of the page; not ok if it goes on in the
// next one or is dropped.
func (o *oggReader) fromPage() (pkt oggPacket, ok bool, err error) {
	size, whole := 0, false
	for o.at < len(o.page.segments) && !whole {
		n := int(o.page.segments[o.at])
		size, whole = size+n, n < 255
		o.at++
	}
	data := o.page.body[o.offset : o.offset+size]
	o.offset += size
	if !whole {
		if len(o.partial)+len(data) > maxOggPacket {
			return pkt, false, errOggPacket
		}
		if !o.drop {
			o.partial = append(o.partial, data...)
		}
		return pkt, false, nil
	}
	if o.drop {
		o.drop = false
		return pkt, false, nil
	}
	if len(o.partial) > 0 {
		data = append(o.partial, data...)
		o.partial = data[:0]
	}
	pkt = oggPacket{data: data, granule: -1, lost: o.lost}
	o.lost = false
	if !o.moreInPage() {
		pkt.granule = o.page.granule
		pkt.last = o.ended
	}
	return pkt, true, nil
}

// moreInPage reports whether another packet ends in this page.
func (o *oggReader) moreInPage() bool {
	for _, n := range o.page.segments[o.at:] {
		if n < 255 {
			return true
		}
	}
	return false
}

// oggCRC is the checksum of a page: polynomial 0x04c11db7, start zero, no
// reflection (RFC 3533, section 6).
func oggCRC(b []byte) uint32 {
	var crc uint32
	for _, v := range b {
		crc = crc<<8 ^ oggCRCTable[byte(crc>>24)^v]
	}
	return crc
}

var oggCRCTable = func() (table [256]uint32) {
	for i := range table {
		crc := uint32(i) << 24
		for range 8 {
			carry := crc & 0x80000000
			crc <<= 1
			if carry != 0 {
				crc ^= 0x04c11db7
			}
		}
		table[i] = crc
	}
	return table
}()

// openOgg finds the first stream that is decoded here among those that begin at
// the start of the file.
func openOgg(in *input, opts Options) (*sound, error) {
	o := &oggReader{in: in}
	other := ""
	for {
		if _, err := o.readPage(); err != nil {
			if fault := in.fault(); fault != nil {
				return nil, fault
			}
			if other == "" {
				return nil, truncatedHeader("ogg")
			}
			break
		}
		if o.page.flags&oggFirst == 0 {
			break
		}
		o.at, o.offset = 0, 0
		o.serial, o.chosen, o.sequence = o.page.serial, true, o.page.sequence+1
		o.ended = o.page.flags&oggLast != 0
		head := o.page.body
		switch {
		case bytes.HasPrefix(head, []byte("OpusHead")):
			return openOpus(o, opts)
		case bytes.HasPrefix(head, []byte("\x01vorbis")):
			return openVorbis(o, opts)
		case bytes.HasPrefix(head, []byte("Speex   ")):
			other = "Speex"
		case bytes.HasPrefix(head, []byte("\x7fFLAC")):
			other = "FLAC"
		}
	}
	if other == "" {
		return nil, unsupported("ogg", "this Ogg file holds no sound of a known kind")
	}
	return nil, &foreign{container: oggFile, codec: other, code: strings.ToLower(other)}
}

// oggAudio turns the packets of one stream into samples at their right place:
// the page's granule position counts samples from the stream's beginning, cuts
// the end, and tells how much is missing after a loss.
type oggAudio struct {
	packets  *oggReader
	channels int
	rate     int
	decode   func(packet []byte) ([]float32, error) // interleaved, valid until the next call
	lost     func()                                 // pages are missing before the next packet
	cutFront bool                                   // the first page's granule may cut its beginning (Vorbis)
	damage   *damage

	position int64 // granule position reached
	began    bool
	done     bool
	page     []float32
}

// next returns the samples of the packets that end in one page.
func (a *oggAudio) next() ([]float32, error) {
	if a.done {
		return nil, io.EOF
	}
	a.page = a.page[:0]
	lost := false
	for {
		pkt, err := a.packets.next()
		if err != nil {
			a.done = true
			if fault := a.packets.in.fault(); fault != nil {
				return nil, fault
			}
			if !errors.Is(err, io.EOF) {
				a.damage.cutShort = true
			}
			return a.page, nil
		}
		if pkt.lost {
			lost = true
			a.damage.concealed++
			a.lost()
		}
		var out []float32
		err = safely(func() (err error) {
			out, err = a.decode(pkt.data)
			return err
		})
		if err != nil {
			a.damage.concealed++
			a.lost()
			lost = true
			out = nil
		}
		a.page = append(a.page, out...)
		if pkt.last {
			a.done = true
		}
		if pkt.granule >= 0 || pkt.last || len(a.page) > 4*a.rate*a.channels {
			return a.place(pkt, lost), nil
		}
	}
}

// place cuts or fills the page's samples so that they end at its granule position.
func (a *oggAudio) place(pkt oggPacket, lost bool) []float32 {
	frames := int64(len(a.page) / a.channels)
	out := a.page
	granule := pkt.granule
	switch {
	case granule < 0:
		granule = a.position + frames
	case !a.began:
		a.began = true
		a.position = granule - frames
		if a.position < 0 && (pkt.last || !a.cutFront) {
			a.position = 0
		}
		if a.position < 0 {
			out = out[min(len(out), int(-a.position)*a.channels):]
			a.position, frames = 0, int64(len(out)/a.channels)
		}
	}
	end := a.position + frames
	if pkt.last && granule < end && granule >= a.position {
		out = out[:len(out)-int(end-granule)*a.channels]
	}
	if hole := granule - end; lost && hole > 0 && hole <= longestHole*int64(a.rate) {
		filled := make([]float32, int(hole)*a.channels, int(hole)*a.channels+len(out))
		out = append(filled, out...)
	}
	a.position = max(granule, a.position)
	return out
}
