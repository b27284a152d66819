package flac

import (
	"bufio"
	"io"
	"strings"

	"clapladder.example/assess/audio/internal/codec"
	"github.com/mewkiz/flac/frame"
)

// flacPatch decodes frames of files at 24,000 and 176,400 samples a second. The
// FLAC library writes a line to the program's log for every frame header that
// carries the code of one of these two rates. So the code is replaced by "as in
// STREAMINFO" on its way to the library, the header's checksum is made to fit,
// and the checksum over the whole frame, which the change breaks, is checked
// here instead.
type flacPatch struct {
	in     *bufio.Reader
	header []byte // patched bytes still to be handed out
	crc    uint16 // CRC-16 over the original bytes
	buffer [16]byte
}

func (p *flacPatch) parse() (*frame.Frame, error) {
	p.crc, p.header = 0, p.header[:0]
	if err := p.begin(); err != nil {
		return nil, err
	}
	f, err := frame.Parse(io.LimitReader(p, mostFLACFrame))
	if err != nil && strings.Contains(err.Error(), "CRC-16 checksum mismatch") && p.crc == 0 {
		err = nil // the original frame, checksum included, is sound
	}
	return f, err
}

// begin takes the frame header (RFC 9639, section 9.1) and patches it.
func (p *flacPatch) begin() error {
	b, err := p.in.Peek(len(p.buffer))
	if len(b) < 6 {
		if err == nil || codec.IsEnd(err) {
			err = io.ErrUnexpectedEOF
		}
		return err
	}
	code := b[2] & 0x0f
	if code != 2 && code != 7 {
		return nil
	}
	size := 4 + utf8Length(b[4])
	switch b[2] >> 4 {
	case 6:
		size++
	case 7:
		size += 2
	}
	if size+1 > len(b) || codec.CRC8(b[:size]) != b[size] {
		return nil // damaged: the library will say so
	}
	p.header = append(p.buffer[:0], b[:size+1]...)
	p.crc = codec.CRC16(0, p.header)
	p.header[2] &= 0xf0
	p.header[size] = codec.CRC8(p.header[:size])
	_, err = p.in.Discard(size + 1)
	return err
}

func (p *flacPatch) Read(dst []byte) (int, error) {
	if len(p.header) > 0 {
		n := copy(dst, p.header)
		p.header = p.header[n:]
		return n, nil
	}
	n, err := p.in.Read(dst)
	p.crc = codec.CRC16(p.crc, dst[:n])
	return n, err
}

// utf8Length is the length of a coded number by its first byte.
func utf8Length(b byte) int {
	n := 0
	for b&0x80 != 0 {
		n++
		b <<= 1
	}
	return max(n, 1)
}
