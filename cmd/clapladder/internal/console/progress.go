package console

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"
)

// progress shows on a terminal how far a file has been read, once that takes longer than a moment.
// It keeps the file's other methods, so that decoders can seek.
type progress struct {
	*os.File
	to    io.Writer
	size  int64
	begun time.Time
	shown string
}

// patience is how long people wait before they want to know.
const patience = time.Second

// Watch wraps a file where somebody looks on. done takes the line away again.
func (con *Console) Watch(r io.Reader) (watched io.Reader, done func()) {
	f, ok := r.(*os.File)
	if !ok || !con.Live {
		return r, func() {}
	}
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() || info.Size() == 0 {
		return r, func() {}
	}
	p := &progress{File: f, to: con.Stderr, size: info.Size(), begun: time.Now()}
	return p, p.clear
}

// Read reads and shows where the file stands.
func (p *progress) Read(b []byte) (int, error) {
	n, err := p.File.Read(b)
	if time.Since(p.begun) < patience {
		return n, err
	}
	if at, seekErr := p.File.Seek(0, io.SeekCurrent); seekErr == nil {
		p.show(fmt.Sprintf("listening: %d %%", 100*at/p.size))
	}
	return n, err
}

func (p *progress) show(text string) {
	if text != p.shown {
		fmt.Fprintf(p.to, "\r%s", text)
		p.shown = text
	}
}

// clear leaves an empty line.
func (p *progress) clear() {
	if p.shown != "" {
		fmt.Fprintf(p.to, "\r%*s\r", len(p.shown), "")
	}
}

// Step shows on a terminal how far several recordings have come; an empty text takes it away.
func (con *Console) Step(text string) {
	if !con.Live {
		return
	}
	fmt.Fprintf(con.Stderr, "\r%s\r%s", strings.Repeat(" ", 40), text)
}
