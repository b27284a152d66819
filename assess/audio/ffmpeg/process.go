package ffmpeg

import (
	"bytes"
	"context"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync/atomic"
	"time"

	"clapladder.example/assess/audio/internal/codec"
)

// ffmpegRun is a running ffmpeg.
type ffmpegRun struct {
	cmd      *exec.Cmd
	stdout   io.ReadCloser
	stderr   *tail
	cancel   context.CancelFunc
	timer    *time.Timer
	patience time.Duration
	stuck    atomic.Bool
	file     string
	ended    bool // its output has been read to the end
	waited   bool
	err      error
}

func startFFmpeg(ctx context.Context, program string, args []string, files []*os.File,
	patience time.Duration,
) (*ffmpegRun, error) {
	ctx, cancel := context.WithCancel(ctx)
	r := &ffmpegRun{
		cmd: exec.CommandContext(ctx, program, args...), stderr: &tail{},
		cancel: cancel, patience: patience,
	}
	r.cmd.Stderr, r.cmd.ExtraFiles = r.stderr, files
	r.cmd.WaitDelay = 2 * time.Second
	for _, v := range os.Environ() {
		if !strings.HasPrefix(v, "FFREPORT=") { // would write a log file
			r.cmd.Env = append(r.cmd.Env, v)
		}
	}
	var err error
	if r.stdout, err = r.cmd.StdoutPipe(); err == nil {
		err = r.cmd.Start()
	}
	if err != nil {
		cancel()
		return nil, &codec.Error{
			Kind:    codec.KindNeedsFFmpeg,
			Message: "ffmpeg does not start: " + codec.PlainCause(err), Err: err,
		}
	}
	r.timer = time.AfterFunc(patience, func() {
		r.stuck.Store(true)
		cancel()
	})
	return r, nil
}

// EndsWithContext marks that ffmpeg is ended with its context.
func (*ffmpegRun) EndsWithContext() {}

// Read passes on ffmpeg's output. The clock runs only while ffmpeg is waited for.
func (r *ffmpegRun) Read(p []byte) (int, error) {
	r.timer.Reset(r.patience)
	n, err := r.stdout.Read(p)
	r.timer.Stop()
	if err != nil && !r.waited {
		r.ended = true
		r.wait()
		if r.err == nil {
			err = io.EOF
		}
	}
	return n, err
}

// wait waits for ffmpeg's end. One whose output is no longer read would wait for its reader for
// ever, so it is ended; one that does not end by itself is ended when patience runs out.
func (r *ffmpegRun) wait() {
	if r.waited {
		return
	}
	r.waited = true
	if !r.ended {
		r.cancel()
		_ = r.stdout.Close()
	}
	r.timer.Reset(r.patience)
	r.err = r.cmd.Wait()
	r.timer.Stop()
}

// close ends ffmpeg.
func (r *ffmpegRun) close() {
	r.timer.Stop()
	r.ended = false
	r.wait()
	r.cancel()
}

// tail keeps the last bytes written to it.
type tail struct{ b []byte }

func (t *tail) Write(p []byte) (int, error) {
	const keep = 2 << 10
	t.b = append(t.b, p[max(0, len(p)-keep):]...)
	t.b = t.b[max(0, len(t.b)-keep):]
	return len(p), nil
}

// lastLine is what ffmpeg said last, without the path of the copy and without control
// characters, which a hostile file might smuggle to a terminal.
func (t *tail) lastLine(file string) string {
	lines := bytes.Split(bytes.TrimSpace(t.b), []byte("\n"))
	s := strings.ReplaceAll(string(lines[len(lines)-1]), "file:"+file, "the file")
	s = strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f || c == '\ufffd' || c > 0x7e {
			return -1
		}
		return c
	}, s)
	return s[:min(len(s), 160)]
}
