package console

import (
	"context"
	"io"
	"io/fs"
	"os"
)

// interruptibleReader reads from a terminal or a pipe, where the next byte may never come, until the
// context ends. What is read after that is lost. It is not safe for concurrent use.
type interruptibleReader struct {
	ctx  context.Context
	r    io.Reader
	rest []byte
	err  error
}

// Interruptible makes reads from r end with the context, as an error.
func Interruptible(ctx context.Context, r io.Reader) io.Reader {
	return &interruptibleReader{ctx: ctx, r: r}
}

type chunk struct {
	data []byte
	err  error
}

// Read waits for bytes or for the end of the context, whichever is first.
func (i *interruptibleReader) Read(p []byte) (int, error) {
	if len(i.rest) == 0 && i.err == nil {
		got := make(chan chunk, 1) // so that a read that nobody waits for any more can end
		go func() {
			buffer := make([]byte, 32<<10)
			n, err := i.r.Read(buffer)
			got <- chunk{buffer[:n], err}
		}()
		select {
		case c := <-got:
			i.rest, i.err = c.data, c.err
		case <-i.ctx.Done():
			i.err = i.ctx.Err()
		}
	}
	n := copy(p, i.rest)
	if i.rest = i.rest[n:]; n > 0 {
		return n, nil
	}
	return 0, i.err
}

// interruptibleFile is a pipe or a device that has a name.
type interruptibleFile struct {
	interruptibleReader
	io.Closer
}

// openFile opens a file. A pipe that nobody writes to makes that wait for ever, so it ends with the
// context.
func (con *Console) openFile(path string) (*os.File, error) {
	if info, err := os.Stat(path); err != nil || info.Mode()&fs.ModeNamedPipe == 0 {
		return os.Open(path)
	}
	type opened struct {
		f   *os.File
		err error
	}
	got := make(chan opened, 1)
	go func() {
		f, err := os.Open(path)
		got <- opened{f, err}
	}()
	select {
	case o := <-got:
		return o.f, o.err
	case <-con.Ctx.Done():
		return nil, con.Ctx.Err()
	}
}
