package flac

import (
	"bufio"
	"io"

	"clapladder.example/assess/audio/internal/codec"
)

// mostFrame is more bytes than any frame has: 65,535 samples of 8 channels at 32 bits. Of zeros
// without end one number would be read without end.
const mostFrame = 4 << 20

// frame is one decoded frame (RFC 9639, section 9). Its memory is used again for the next one.
type frame struct {
	header
	samples [8][]int32 // of each channel
	bits    bitReader
}

// header is what a frame says of itself.
type header struct {
	fixed    bool  // number counts frames; otherwise samples
	number   int64 // of the frame, or of its first sample
	block    int   // samples of each channel
	channels int
	pair     pairing
	bits     int // of a sample; 0: as the file says
}

// pairing is how two channels are sent.
type pairing int

const (
	apart pairing = iota
	leftSide
	sideRight
	midSide
)

// mostHeader is how many bytes a frame's header has at most.
const mostHeader = 16

// parseHeader reads the header at the start of b, and its length. It is not ok where that is none.
func parseHeader(b []byte) (h header, size int, ok bool) {
	if len(b) < 6 || b[0] != 0xff || b[1]&0xfe != 0xf8 || b[3]&1 != 0 {
		return h, 0, false
	}
	h.fixed = b[1]&1 == 0
	blockCode, rateCode, channelCode, bitsCode := b[2]>>4, b[2]&15, b[3]>>4, b[3]>>1&7
	size = 4
	number, n, ok := codedNumber(b[size:])
	if !ok {
		return h, 0, false
	}
	h.number = number
	size += n
	further := func(bytes int) (x int) {
		for range bytes {
			if size < len(b) {
				x = x<<8 | int(b[size])
			}
			size++
		}
		return x
	}
	switch {
	case blockCode == 0:
		return h, 0, false
	case blockCode == 1:
		h.block = 192
	case blockCode <= 5:
		h.block = 576 << (blockCode - 2)
	case blockCode <= 7:
		h.block = further(int(blockCode)-5) + 1
	default:
		h.block = 256 << (blockCode - 8)
	}
	switch rateCode {
	case 12:
		further(1)
	case 13, 14:
		further(2)
	case 15:
		return h, 0, false
	}
	switch {
	case channelCode < 8:
		h.channels = int(channelCode) + 1
	case channelCode < 11:
		h.channels, h.pair = 2, pairing(channelCode-8)+leftSide
	default:
		return h, 0, false
	}
	if bitsCode == 3 {
		return h, 0, false
	}
	h.bits = [8]int{0, 8, 12, 0, 16, 20, 24, 32}[bitsCode]
	if size >= len(b) || codec.CRC8(b[:size]) != b[size] {
		return h, 0, false
	}
	return h, size + 1, true
}

// codedNumber reads a number that is coded as UTF-8 codes characters, up to 36 bits.
func codedNumber(b []byte) (number int64, size int, ok bool) {
	first := b[0]
	if first&0x80 == 0 {
		return int64(first), 1, true
	}
	for mask := byte(0x40); first&mask != 0; mask >>= 1 {
		size++
	}
	if size++; size == 1 || size > 7 || len(b) < size {
		return 0, 0, false
	}
	number = int64(first) & (0x7f >> size)
	for _, c := range b[1:size] {
		if c&0xc0 != 0x80 {
			return 0, 0, false
		}
		number = number<<6 | int64(c&0x3f)
	}
	return number, size, true
}

// parse reads the frame that begins at the next byte of in, of a file with so many channels and
// bits a sample. Of bytes that are none some have been taken after an error: errDamaged, the end of
// the file, or the reader's.
func (f *frame) parse(in *bufio.Reader, channels, bits int) error {
	b, err := in.Peek(mostHeader)
	if len(b) < mostHeader && err != nil && !codec.IsEnd(err) {
		return err
	}
	h, size, ok := parseHeader(b)
	if !ok || h.channels != channels || h.bits != 0 && h.bits != bits {
		_, _ = in.Discard(min(2, len(b)))
		if len(b) < mostHeader && !ok {
			return io.ErrUnexpectedEOF
		}
		return errDamaged
	}
	f.header = h
	f.bits.begin(in)
	for range size {
		f.bits.take(8)
	}
	for c := range h.channels {
		if cap(f.samples[c]) < h.block {
			f.samples[c] = make([]int32, h.block)
		}
		f.samples[c] = f.samples[c][:h.block]
		own := bits // the difference of two channels needs one more
		if h.pair == sideRight && c == 0 || (h.pair == leftSide || h.pair == midSide) && c == 1 {
			own++
		}
		if !f.bits.subframe(f.samples[c], own) {
			break
		}
	}
	f.bits.drop(f.bits.n % 8)
	f.bits.take(16) // the checksum
	if err := f.bits.end(); err != nil {
		return err
	}
	f.part()
	return nil
}

// part makes left and right of what was sent of a pair (section 4.2).
func (f *frame) part() {
	a, b := f.samples[0], f.samples[1]
	switch f.pair {
	case leftSide:
		for i, left := range a {
			b[i] = left - b[i]
		}
	case sideRight:
		for i, right := range b {
			a[i] += right
		}
	case midSide:
		for i, side := range b {
			middle := a[i]<<1 | side&1
			a[i], b[i] = (middle+side)>>1, (middle-side)>>1
		}
	}
}
