package audio

import (
	"errors"
	"io"

	"clapladder.example/assess/audio/internal/codec"
)

// Live is a stream into which samples are written as they come from a microphone. It gives what
// [Open] gives for a WAV file of the same samples, and may be used by one goroutine at a time.
type Live struct {
	chain
	block []float32 // to be filled
	held  int       // of it
	ready []float32
	err   error
}

// NewLive begins a stream of so many samples a second of each channel. The error is an [*Error]
// about a rate or a number of channels that is not read.
func NewLive(rate, channels int, opts Options) (*Live, error) {
	opts = opts.WithDefaults()
	if err := codec.CheckShape(codec.WAVFile.Name, rate, channels, opts); err != nil {
		return nil, err
	}
	info := Info{Format: codec.WAVFile.Name, Codec: "pcm_f32le", SampleRate: rate, Channels: channels}
	l := &Live{chain: newChain(&codec.Sound{Info: info}, opts)}
	l.block = l.mixer.block()
	return l, nil
}

// Write takes the next samples, those of all channels in turn, about -1 to 1, in pieces of any
// size. It returns the mono samples at [Rate] that are ready: for one channel what was written
// until half a second ago, for more, two seconds later. The slice is valid until the next call. The
// error is an [*Error] about too long a recording; nothing is taken after it.
func (l *Live) Write(samples []float32) ([]float32, error) {
	l.ready = l.ready[:0]
	for len(samples) > 0 && l.err == nil {
		n := min(len(samples), len(l.block)-l.held)
		for i, x := range samples[:n] {
			l.block[l.held+i] = codec.Tame(x)
		}
		l.held, samples = l.held+n, samples[n:]
		if l.held == len(l.block) {
			l.err = l.take(l.block, nil)
			l.ready = append(l.ready, l.out...)
			l.block, l.held = l.mixer.block(), 0
		}
	}
	return l.ready, l.err
}

// Finish ends the stream and returns its last samples. The error is an [*Error] about a recording
// without a sample, or that of Write.
func (l *Live) Finish() ([]float32, error) {
	if l.err != nil {
		return nil, l.err
	}
	err := l.take(l.block[:l.held-l.held%l.sound.Channels], io.EOF)
	l.block, l.held = l.mixer.block(), 0
	if l.err = err; l.frames == 0 {
		l.err = l.nothing()
	}
	if !errors.Is(l.err, io.EOF) {
		return nil, l.err
	}
	return l.out, nil
}
