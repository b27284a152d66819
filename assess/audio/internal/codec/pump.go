package codec

import (
	"context"
	"io"
)

// pump reads a pipe or another blocking source in a goroutine of its own, so
// that cancellation need not wait for the next byte. The goroutine ends with the
// first Read that returns after stop.
type pump struct {
	ctx    context.Context
	full   chan pumped
	empty  chan []byte
	quit   chan struct{}
	rest   []byte
	buffer []byte
	err    error
}

type pumped struct {
	data []byte
	err  error
}

func newPump(ctx context.Context, r io.Reader) *pump {
	p := &pump{
		ctx:   ctx,
		full:  make(chan pumped, 2),
		empty: make(chan []byte, 2),
		quit:  make(chan struct{}),
	}
	for range 2 {
		p.empty <- make([]byte, inputBuffer)
	}
	go p.run(r)
	return p
}

func (p *pump) run(r io.Reader) {
	for {
		var buf []byte
		select {
		case buf = <-p.empty:
		case <-p.quit:
			return
		}
		n, err := readSome(r, buf)
		select {
		case p.full <- pumped{buf[:n], err}:
		case <-p.quit:
			return
		}
		if err != nil {
			return
		}
	}
}

// readSome reads at least one byte; a reader that keeps returning nothing is
// given up, as bufio does.
func readSome(r io.Reader, buf []byte) (int, error) {
	for range 100 {
		if n, err := r.Read(buf); n > 0 || err != nil {
			return n, err
		}
	}
	return 0, io.ErrNoProgress
}

func (p *pump) Read(dst []byte) (int, error) {
	for len(p.rest) == 0 {
		if p.err != nil {
			return 0, p.err
		}
		if p.buffer != nil {
			p.empty <- p.buffer[:cap(p.buffer)]
			p.buffer = nil
		}
		select {
		case got := <-p.full:
			p.buffer, p.rest, p.err = got.data, got.data, got.err
		case <-p.ctx.Done():
			return 0, context.Cause(p.ctx)
		}
	}
	n := copy(dst, p.rest)
	p.rest = p.rest[n:]
	return n, nil
}

func (p *pump) stop() {
	select {
	case <-p.quit:
	default:
		close(p.quit)
	}
}
