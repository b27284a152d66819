package midifile

import (
	"errors"

	"gitlab.com/gomidi/midi/v2/smf"
)

var errCut = errors.New("it breaks off in the middle of a message")

// cursor reads the bytes of a track.
type cursor struct{ data []byte }

// number reads a variable-length number: seven bits a byte, most significant first, at most four
// bytes (SMF 1.0).
func (r *cursor) number() (uint32, error) {
	var n uint32
	for i, b := range r.data {
		if i == 4 {
			return 0, errors.New("a number is longer than four bytes")
		}
		n = n<<7 | uint32(b&0x7f)
		if b < 0x80 {
			r.data = r.data[i+1:]
			return n, nil
		}
	}
	return 0, errCut
}

// block reads a length and as many bytes.
func (r *cursor) block() ([]byte, error) {
	n, err := r.number()
	if err != nil {
		return nil, err
	}
	if uint64(n) > uint64(len(r.data)) {
		return nil, errCut
	}
	block := r.data[:n]
	r.data = r.data[n:]
	return block, nil
}

// meta reads a meta event: FF, type, length, data.
func (r *cursor) meta() (smf.Message, error) {
	if len(r.data) < 2 {
		return nil, errCut
	}
	start := r.data
	r.data = r.data[2:]
	if _, err := r.block(); err != nil {
		return nil, err
	}
	return smf.Message(start[:len(start)-len(r.data)]), nil
}
