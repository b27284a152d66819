package feed

import "clapladder.example/assess/internal/onset"

// How far decoding may be ahead of listening.
const (
	aheadBlocks  = 4
	aheadSamples = 8192 // a block: half a second
)

// Ahead reads a stream on a goroutine of its own, so that decoding and listening go on at the
// same time. It gives the same samples in the same order.
type Ahead struct {
	full  chan aheadBlock // in order of the stream
	empty chan []float32  // has room for all blocks
	block []float32       // in hand
	left  []float32       // of it
	err   error
}

type aheadBlock struct {
	samples []float32
	err     error // after the samples
}

// ReadAhead reads until the stream ends or [Ahead.Stop] is called.
func ReadAhead(stream onset.Reader) *Ahead {
	r := &Ahead{full: make(chan aheadBlock, aheadBlocks), empty: make(chan []float32, aheadBlocks)}
	for range aheadBlocks {
		r.empty <- make([]float32, aheadSamples)
	}
	go func() {
		defer close(r.full)
		for block := range r.empty {
			n, err := stream.Read(block)
			r.full <- aheadBlock{block[:n], err}
			if err != nil {
				return
			}
		}
	}()
	return r
}

// Read fills samples as the stream would.
func (r *Ahead) Read(samples []float32) (int, error) {
	for len(r.left) == 0 {
		if r.err != nil {
			return 0, r.err
		}
		if r.block != nil {
			r.empty <- r.block[:aheadSamples]
		}
		next := <-r.full
		r.block, r.left, r.err = next.samples, next.samples, next.err
	}
	n := copy(samples, r.left)
	r.left = r.left[n:]
	return n, nil
}

// Stop ends reading. When it returns, nothing reads the stream any more, and Read must not be
// called again.
func (r *Ahead) Stop() {
	close(r.empty)
	for range r.full { // at most the blocks that are under way
	}
}
