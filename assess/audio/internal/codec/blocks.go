package codec

import (
	"io"
	"math"
)

// Blocks is the decoder for formats that come in blocks.
type Blocks struct {
	Next     func() ([]float32, error) // interleaved, valid until the next call
	Channels int
	Skip     int64 // frames to leave out at the start
	Tail     int64 // frames to leave out at the end
	Limit    int64 // frames after skip, 0: all
	passed   int64
	rest     []float32
	held     []float32
}

func (b *Blocks) Decode(dst []float32) (int, error) {
	for len(b.rest) == 0 {
		if b.Limit > 0 && b.passed >= b.Limit {
			return 0, io.EOF
		}
		block, err := b.Next()
		if err != nil {
			return 0, err
		}
		n := min(b.Skip, int64(len(block)/b.Channels))
		b.Skip -= n
		b.rest = b.hold(block[int(n)*b.Channels:])
	}
	n := min(len(dst), len(b.rest)) / b.Channels
	if b.Limit > 0 {
		n = int(min(int64(n), b.Limit-b.passed))
	}
	for i, x := range b.rest[:n*b.Channels] {
		dst[i] = Tame(x) // damaged bits may decode to what is no number, or beyond all
	}
	b.rest = b.rest[n*b.Channels:]
	b.passed += int64(n)
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}

// hold keeps back the last frames, which are left out if the end follows.
func (b *Blocks) hold(block []float32) []float32 {
	if b.Tail == 0 {
		return block
	}
	b.held = append(b.held, block...)
	free := len(b.held) - int(b.Tail)*b.Channels
	if free <= 0 {
		return nil
	}
	out := append([]float32(nil), b.held[:free]...)
	b.held = append(b.held[:0], b.held[free:]...)
	return out
}

// longestJunk is the most bytes that are passed over in search of the next frame. What comes after
// so much is no sound, and on a pipe it may have no end.
const LongestJunk = 4 << 20

// lostFrames estimates how many frames were in a stretch of bytes that had to be
// passed over, in formats whose frames are not numbered: as many as frames of the
// average size so far would fill.
type LostFrames struct {
	bytes, frames int64
	owed          int // frames of silence to put in
}

// found takes note of junk bytes before a frame of the given size and reports
// whether there were any.
func (l *LostFrames) Found(junk, size int) bool {
	if junk > 0 && l.frames > 0 {
		const most = LongestHole * 50 // frames are some 20 ms long
		l.owed = int(min(most, math.Round(float64(junk)*float64(l.frames)/float64(l.bytes))))
	}
	l.bytes += int64(size)
	l.frames++
	return junk > 0
}

// take reports whether a frame of silence is due.
func (l *LostFrames) Take() bool {
	if l.owed == 0 {
		return false
	}
	l.owed--
	return true
}

// loudest is far above any real recording, yet its square is safe to sum.
const loudest = 1 << 16

func Tame(x float32) float32 {
	if x >= -loudest && x <= loudest {
		return x
	}
	if x != x {
		return 0
	}
	return float32(math.Copysign(loudest, float64(x)))
}

// LongestHole is the most silence that is put in for a damaged part, in seconds. A larger gap is
// damage of the count itself.
const LongestHole = 60
