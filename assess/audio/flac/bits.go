package flac

import (
	"bufio"
	"encoding/binary"
	"errors"
	"io"
	"math/bits"

	"clapladder.example/assess/audio/internal/codec"
)

// errDamaged says that bits are no frame. What is wrong in them is of no use to anybody.
var errDamaged = errors.New("no FLAC frame")

// bitReader reads the bits of one frame, the highest of a byte first, and takes no byte behind it.
// After an error, which it keeps, it gives zeros.
type bitReader struct {
	in     *bufio.Reader
	window []byte // what in holds, from the first byte of which a bit may not be taken yet
	at     int    // bytes of the window whose bits are in ahead, or taken
	ahead  uint64 // the next bits, the first one highest, then zeros
	n      int    // how many they are
	crc    uint16 // of the bytes before the window
	left   int    // bytes before the window is passed that a frame may still have
	err    error
}

// begin starts a frame, at the next byte of in.
func (r *bitReader) begin(in *bufio.Reader) {
	*r = bitReader{in: in, left: mostFrame}
}

// fill makes sure of at least 32 bits ahead, or of all that there are.
func (r *bitReader) fill() {
	for r.n <= 32 {
		if len(r.window)-r.at >= 8 {
			// as many whole bytes as fit
			r.ahead |= binary.BigEndian.Uint64(r.window[r.at:]) >> r.n
			bytes := (64 - r.n) / 8
			r.at, r.n = r.at+bytes, r.n+8*bytes
			r.ahead &= ^uint64(0) << (64 - r.n)
			return
		}
		if r.at == len(r.window) && !r.more() {
			return
		}
		r.ahead |= uint64(r.window[r.at]) << (56 - r.n)
		r.at, r.n = r.at+1, r.n+8
	}
}

// more moves the window on; false where the bytes end.
func (r *bitReader) more() bool {
	if r.err != nil {
		return false
	}
	kept := r.n / 8
	r.pass(r.at - kept)
	if r.left < 0 {
		r.err = errDamaged
		return false
	}
	b, err := r.in.Peek(kept + 1)
	if len(b) <= kept {
		r.window, r.at = b, len(b)
		if err != nil && !codec.IsEnd(err) {
			r.err = err
		}
		return false
	}
	r.window, _ = r.in.Peek(r.in.Buffered())
	r.at = kept
	return true
}

// pass leaves bytes of the window behind.
func (r *bitReader) pass(bytes int) {
	r.crc = codec.CRC16(r.crc, r.window[:bytes])
	r.left -= bytes
	_, _ = r.in.Discard(bytes)
	r.window, r.at = r.window[bytes:], r.at-bytes
}

// end gives back what was not taken, from the next whole byte on, and is the frame's error. The
// checksum of a frame with its own is 0.
func (r *bitReader) end() error {
	r.pass(r.at - r.n/8)
	r.ahead, r.n = 0, 0
	switch {
	case r.err != nil:
		return r.err
	case r.crc != 0:
		return errDamaged
	}
	return nil
}

// damaged says that the bits are no frame, if nothing worse was found yet.
func (r *bitReader) damaged() bool {
	if r.err == nil {
		r.err = errDamaged
	}
	return false
}

// drop takes n bits that are ahead.
func (r *bitReader) drop(n int) {
	r.ahead <<= n
	if r.n -= n; r.n < 0 {
		r.n = 0
		if r.err == nil {
			r.err = io.ErrUnexpectedEOF
		}
	}
}

// take reads n bits, at most 32.
func (r *bitReader) take(n int) uint32 {
	if r.n < n {
		r.fill()
	}
	x := uint32(r.ahead >> (64 - n))
	r.drop(n)
	return x
}

// signed reads a number of n bits, at most 32, in two's complement.
func (r *bitReader) signed(n int) int32 {
	return int32(r.take(n)<<(32-n)) >> (32 - n)
}

// zeros takes zeros up to a one, and that too, and is how many zeros they were.
func (r *bitReader) zeros() int {
	all := 0
	for {
		if r.n == 0 {
			if r.fill(); r.n == 0 {
				r.drop(1)
				return all
			}
		}
		if z := bits.LeadingZeros64(r.ahead); z < r.n {
			r.drop(z + 1)
			return all + z
		}
		all += r.n
		r.ahead, r.n = 0, 0
	}
}

// rice reads Rice codes of a parameter, at most 30: how often 2 to its power fits in a number, as
// zeros, and what is left of it. Signs alternate: 0, -1, 1, -2 … (RFC 9639, section 9.2.7.2).
func (r *bitReader) rice(dst []int32, parameter int) {
	for i := range dst {
		if r.n <= 32 {
			r.fill()
		}
		var x uint32
		if z := bits.LeadingZeros64(r.ahead); z+1+parameter <= r.n {
			x = uint32(z)<<parameter | uint32(r.ahead<<(z+1)>>(64-parameter))
			r.ahead <<= z + 1 + parameter
			r.n -= z + 1 + parameter
		} else {
			x = uint32(r.zeros()) << parameter
			x |= r.take(parameter)
			if r.err != nil {
				return
			}
		}
		dst[i] = int32(x>>1) ^ -int32(x&1)
	}
}
