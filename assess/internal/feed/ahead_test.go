package feed

import (
	"errors"
	"io"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stutter gives samples 0, 1, 2 … in pieces of uneven size, and then an error.
type stutter struct {
	next, length int
	end          error
	calls        int
}

func (s *stutter) Read(out []float32) (int, error) {
	s.calls++
	n := min(len(out), s.length-s.next, 1+s.calls*997%3000)
	if s.calls%5 == 0 {
		n = 0
	}
	for i := range n {
		out[i] = float32(s.next + i)
	}
	if s.next += n; s.next == s.length {
		return n, s.end
	}
	return n, nil
}

func TestReadingAheadGivesTheSameSamples(t *testing.T) {
	broken := errors.New("broken off")
	for _, length := range []int{0, 1, aheadSamples, 5*aheadSamples + 3, 100_000} {
		for _, end := range []error{io.EOF, broken} {
			r := ReadAhead(&stutter{length: length, end: end})
			buffer := make([]float32, 1000)
			got := 0
			var err error
			for err == nil {
				var n int
				n, err = r.Read(buffer)
				for i := range n {
					require.Equal(t, float32(got+i), buffer[i])
				}
				got += n
			}
			assert.Equal(t, length, got)
			assert.ErrorIs(t, err, end, "samples first, then what ended them")
			_, err = r.Read(buffer)
			assert.ErrorIs(t, err, end, "and again")
			r.Stop()
		}
	}
}

func TestStoppingEndsReadingAhead(t *testing.T) {
	before := runtime.NumGoroutine()
	for range 20 {
		stream := &stutter{length: 1 << 30, end: io.EOF}
		r := ReadAhead(stream)
		_, err := r.Read(make([]float32, 10))
		require.NoError(t, err)
		r.Stop()
		calls := stream.calls
		runtime.Gosched()
		assert.Equal(t, calls, stream.calls, "nothing reads any more")
	}
	for tries := 0; runtime.NumGoroutine() > before && tries < 1000; tries++ {
		time.Sleep(time.Millisecond) // the last may be on its way out
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), before)
}
