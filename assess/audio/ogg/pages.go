package ogg

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"slices"

	"clapladder.example/assess/audio/internal/codec"
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
	in       *codec.Input
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
	for junk := 0; ; junk++ {
		if junk > codec.LongestJunk {
			return skipped, io.EOF
		}
		head, err := o.in.Peek(27)
		if len(head) < 27 {
			if err == nil || codec.IsEnd(err) {
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
			junk += i
		}
	}
}

// load fills the page from the input if its checksum is right. The largest page
// (65,307 bytes) fits into the input's buffer.
func (p *oggPage) load(in *codec.Input, segments int) (bool, error) {
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
	if codec.CRC32(b) != want {
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
	if err == nil || codec.IsEnd(err) {
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
	return slices.ContainsFunc(o.page.segments[o.at:], func(n byte) bool { return n < 255 })
}
