package layer3

import "encoding/binary"

// bits reads a stream of bits, most significant first. Its data must go on for some bytes behind
// the last bit that is meant: see spare.
type bits struct {
	data []byte
	at   int // next bit
}

// spare is how many bytes data must have behind the bits that are meant. What is read between two
// looks at the position is at most a granule's scale factors: 39 of 5 bits.
const spare = 64

// ahead are the next bits, at least 57 of them, the first one highest.
func (b *bits) ahead() uint64 {
	return binary.BigEndian.Uint64(b.data[b.at>>3:]) << (b.at & 7)
}

// take reads n bits, at most 32.
func (b *bits) take(n int) int {
	x := b.ahead() >> (64 - n)
	b.at += n
	return int(x)
}

func (b *bits) flag() bool { return b.take(1) == 1 }
