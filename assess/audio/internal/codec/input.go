package codec

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// Input is the recording's bytes: counted, limited, cancellable and buffered.
// The first failure that is not the plain end of the file is kept in fault,
// because the decoders on top wrap or swallow it.
type Input struct {
	*bufio.Reader
	raw   *counted
	seek  io.ReadSeeker // nil if the reader cannot seek
	start int64         // position of the recording's first byte in seek
	size  int64         // bytes from start, -1 if unknown
	copy  *os.File      // private temporary copy, if there is one
}

// tempPattern names temporary copies.
const tempPattern = "clapladder-recording-*"

const inputBuffer = 64 << 10

// EndsWithContext is a reader whose Read returns by itself soon after the context ends.
type EndsWithContext interface{ EndsWithContext() }

// NewInput reads a recording from r, at most so many bytes.
func NewInput(ctx context.Context, r io.Reader, maxBytes int64) (*Input, error) {
	in := &Input{size: -1}
	if st, ok := r.(interface{ Stat() (fs.FileInfo, error) }); ok {
		info, err := st.Stat()
		if err == nil && info.IsDir() {
			return nil, &Error{
				Kind: KindDirectory, Message: "this is a folder, not a recording",
				Advice: "name the sound file inside it",
			}
		}
		if err == nil && info.Mode().IsRegular() {
			in.size = info.Size()
		}
	}
	if s, ok := r.(io.ReadSeeker); ok {
		if pos, err := s.Seek(0, io.SeekCurrent); err == nil {
			in.seek, in.start = s, pos
			if in.size >= 0 {
				in.size = max(0, in.size-pos)
			}
		}
	}
	source := r
	if _, ends := r.(EndsWithContext); in.seek == nil && !ends {
		source = newPump(ctx, r)
	}
	in.raw = &counted{ctx: ctx, r: source, max: maxBytes, spilled: in.seek != nil}
	in.Reader = bufio.NewReaderSize(in.raw, inputBuffer)
	return in, nil
}

// Rewind goes back to the first byte.
func (in *Input) Rewind() error {
	in.raw.n = 0
	if in.seek != nil {
		if _, err := in.seek.Seek(in.start, io.SeekStart); err != nil {
			return &Error{Kind: KindRead, Message: "the recording cannot be read: " +
				PlainCause(err), Err: err}
		}
		in.Reset(in.raw)
		return nil
	}
	if in.raw.spilled {
		return &Error{
			Kind:    KindUnsupported,
			Message: "the recording cannot be read twice from a pipe", Advice: "give it as a file",
		}
	}
	in.Reset(io.MultiReader(bytes.NewReader(in.raw.kept), in.raw))
	return nil
}

// Commit forgets the bytes that rewind would need.
func (in *Input) Commit() { in.raw.kept, in.raw.spilled = nil, true }

// Fault returns the failure behind a decoder's error, if there is one.
func (in *Input) Fault() error { return in.raw.fault }

// Close lets go of the reader without closing it and removes the copy.
func (in *Input) Close() error {
	if p, ok := in.raw.r.(*pump); ok {
		p.stop()
	}
	var err error
	if in.copy != nil {
		err = forget(in.copy)
		in.copy = nil
	}
	return err
}

// Size is the length in bytes, -1 if unknown.
func (in *Input) Size() int64 { return in.size }

// Seekable reports whether the reader can go back.
func (in *Input) Seekable() bool { return in.seek != nil }

// counted reads from r until the context ends or max bytes have been passed on.
type counted struct {
	ctx   context.Context
	r     io.Reader
	n     int64
	max   int64
	fault error

	kept    []byte // what has been read, for going back on a pipe
	spilled bool   // kept is incomplete
}

// keptBytes is how far back a pipe can be rewound.
const keptBytes = 4 << 20

func (c *counted) Read(p []byte) (int, error) {
	if c.fault != nil {
		return 0, c.fault
	}
	if err := c.ctx.Err(); err != nil {
		c.fault = context.Cause(c.ctx)
		return 0, c.fault
	}
	n, err := c.r.Read(p)
	c.n += int64(n)
	if c.n > c.max {
		c.fault = TooLarge(c.max)
		return 0, c.fault
	}
	if !c.spilled {
		c.kept = append(c.kept, p[:n]...)
		if len(c.kept) > keptBytes {
			c.kept, c.spilled = nil, true
		}
	}
	if err != nil && !errors.Is(err, io.EOF) {
		if c.ctx.Err() != nil {
			c.fault = context.Cause(c.ctx)
			return n, c.fault
		}
		c.fault = &Error{Kind: KindRead, Message: "the recording cannot be read: " +
			PlainCause(err), Err: err}
		if errors.Is(err, errIsDirectory) {
			c.fault = &Error{
				Kind: KindDirectory, Message: "this is a folder, not a recording",
				Advice: "name the sound file inside it", Err: err,
			}
		}
		return n, c.fault
	}
	return n, err
}

// plainCause drops the operation and path that os puts in front.
func PlainCause(err error) string {
	if pe, ok := errors.AsType[*fs.PathError](err); ok {
		return pe.Err.Error()
	}
	return err.Error()
}

func TooLarge(limit int64) *Error {
	return &Error{
		Kind: KindLimit, Limit: "max-bytes",
		Message: fmt.Sprintf("the recording is larger than %s", byteCount(limit)),
		Advice:  "cut it, or raise the limit (max-bytes)",
	}
}

func byteCount(n int64) string {
	switch {
	case n >= 1<<30 && n%(1<<30) == 0:
		return fmt.Sprintf("%d GiB", n>>30)
	case n >= 1<<20 && n%(1<<20) == 0:
		return fmt.Sprintf("%d MiB", n>>20)
	}
	return fmt.Sprintf("%d bytes", n)
}

// Random gives access to any byte of the recording: the file itself if it can
// seek, else a private temporary copy, which close removes.
func (in *Input) Random() (*RandomAccess, error) {
	if in.seek == nil {
		if err := in.spool(); err != nil {
			return nil, err
		}
	}
	if in.size < 0 {
		end, err := in.seek.Seek(0, io.SeekEnd)
		if err != nil {
			return nil, err
		}
		in.size = end - in.start
	}
	return &RandomAccess{
		ctx: in.raw.ctx, r: in.seek, start: in.start, size: in.size, at: -1,
		left: in.raw.max, most: in.raw.max,
	}, nil
}

// File is the private copy, which is made where there is none. It stays the input's.
func (in *Input) File() (*os.File, error) {
	if in.copy == nil {
		if err := in.spool(); err != nil {
			return nil, err
		}
	}
	return in.copy, nil
}

// spool copies the whole recording into a private file, and reads from the copy from then on. No
// sound stays behind where the program is killed: see privateFile.
func (in *Input) spool() error {
	trouble := func(err error) error {
		if fault := in.Fault(); fault != nil {
			return fault
		}
		return &Error{Kind: KindRead, Message: "no room for a temporary copy: " + PlainCause(err), Err: err}
	}
	var err error
	if in.copy, err = privateFile(); err != nil {
		return trouble(err)
	}
	if err := in.Rewind(); err != nil {
		return err
	}
	size, err := io.Copy(in.copy, in.Reader)
	if err != nil {
		return trouble(err)
	}
	in.seek, in.start, in.size = in.copy, 0, size
	return nil
}

// RandomAccess reads at offsets relative to the recording's first byte. It keeps
// its place, so that reading on does not seek.
type RandomAccess struct {
	ctx   context.Context
	r     io.ReadSeeker
	start int64
	size  int64
	at    int64 // current offset, -1 if unknown
	left  int64 // bytes that may still be read, of most
	most  int64
	fault error // what went wrong but for the end of the file
}

// Size is the length of the recording in bytes.
func (ra *RandomAccess) Size() int64 { return ra.size }

// Fault is what went wrong but for the end of the file; nil where nothing did.
func (ra *RandomAccess) Fault() error { return ra.fault }

// ReadAt fills p from offset off or reports io.ErrUnexpectedEOF.
func (ra *RandomAccess) ReadAt(p []byte, off int64) error {
	if ra.fault != nil {
		return ra.fault
	}
	if ra.ctx.Err() != nil {
		ra.fault = context.Cause(ra.ctx)
		return ra.fault
	}
	if ra.left -= int64(len(p)); ra.left < 0 {
		ra.fault = TooLarge(ra.most)
		return ra.fault
	}
	if off < 0 || off > ra.size-int64(len(p)) {
		return io.ErrUnexpectedEOF
	}
	if ra.at != off {
		if _, err := ra.r.Seek(ra.start+off, io.SeekStart); err != nil {
			ra.fault = err
			return err
		}
	}
	n, err := io.ReadFull(ra.r, p)
	ra.at = off + int64(n)
	if IsEnd(err) {
		return io.ErrUnexpectedEOF
	}
	ra.fault = err
	return err
}
