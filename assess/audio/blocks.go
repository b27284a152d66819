package audio

import (
	"io"
	"math"
)

// blocks is the decoder for formats that come in blocks.
type blocks struct {
	next     func() ([]float32, error) // interleaved, valid until the next call
	channels int
	skip     int64 // frames to leave out at the start
	tail     int64 // frames to leave out at the end
	limit    int64 // frames after skip, 0: all
	passed   int64
	rest     []float32
	held     []float32
}

func (b *blocks) decode(dst []float32) (int, error) {
	for len(b.rest) == 0 {
		if b.limit > 0 && b.passed >= b.limit {
			return 0, io.EOF
		}
		block, err := b.next()
		if err != nil {
			return 0, err
		}
		n := min(b.skip, int64(len(block)/b.channels))
		b.skip -= n
		b.rest = b.hold(block[int(n)*b.channels:])
	}
	n := min(len(dst), len(b.rest)) / b.channels
	if b.limit > 0 {
		n = int(min(int64(n), b.limit-b.passed))
	}
	for i, x := range b.rest[:n*b.channels] {
		dst[i] = tame(x) // damaged bits may decode to what is no number, or beyond all
	}
	b.rest = b.rest[n*b.channels:]
	b.passed += int64(n)
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}

// hold keeps back the last frames, which are left out if the end follows.
func (b *blocks) hold(block []float32) []float32 {
	if b.tail == 0 {
		return block
	}
	b.held = append(b.held, block...)
	free := len(b.held) - int(b.tail)*b.channels
	if free <= 0 {
		return nil
	}
	out := append([]float32(nil), b.held[:free]...)
	b.held = append(b.held[:0], b.held[free:]...)
	return out
}

// longestJunk is the most bytes that are passed over in search of the next frame. What comes after so much is no sound,
// and on a pipe it may have no end.
const longestJunk = 4 << 20

// lostFrames estimates how many frames were in a stretch of bytes that had to be
// passed over, in formats whose frames are not numbered: as many as frames of the
// average size so far would fill.
type lostFrames struct {
	bytes, frames int64
	owed          int // frames of silence to put in
}

// found takes note of junk bytes before a frame of the given size and reports
// whether there were any.
func (l *lostFrames) found(junk, size int) bool {
	if junk > 0 && l.frames > 0 {
		const most = longestHole * 50 // frames are some 20 ms long
		l.owed = int(min(most, math.Round(float64(junk)*float64(l.frames)/float64(l.bytes))))
	}
	l.bytes += int64(size)
	l.frames++
	return junk > 0
}

// take reports whether a frame of silence is due.
func (l *lostFrames) take() bool {
	if l.owed == 0 {
		return false
	}
	l.owed--
	return true
}
