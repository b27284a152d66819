package ffmpeg

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync/atomic"
	"time"

	"clapladder.example/assess/audio/internal/codec"
	"clapladder.example/assess/audio/internal/pcm"
)

// ffmpegPatience is how long ffmpeg may take for the next piece of sound.
const ffmpegPatience = 60 * time.Second

// ffmpegArgs is the whole command line. The input is a file that we named, given
// as a file: address so that it cannot be an option; the demuxer is given by
// name so that the content cannot be taken for a playlist; no protocol that
// leaves the machine is allowed. The output is WAV on standard output.
func ffmpegArgs(demuxer, path string, limit time.Duration) []string {
	return []string{
		"-nostdin", "-hide_banner", "-loglevel", "error", "-threads", "1",
		"-max_alloc", "268435456",
		"-protocol_whitelist", "file,pipe", "-f", demuxer, "-i", "file:" + path,
		"-map", "0:a:0", "-vn", "-sn", "-dn", "-map_metadata", "-1",
		"-t", strconv.FormatFloat(limit.Seconds()+1, 'f', 3, 64),
		"-c:a", "pcm_f32le", "-f", "wav", "pipe:1",
	}
}

// openFFmpeg decodes the recording with the ffmpeg program.
func openFFmpeg(ctx context.Context, in *codec.Input, what *codec.Foreign, opts codec.Options) (*codec.Sound, error) {
	program, err := findFFmpeg(what, opts)
	if err != nil {
		return nil, err
	}
	file, err := in.File()
	if err != nil {
		return nil, err
	}
	run, err := startFFmpeg(ctx, program, ffmpegArgs(what.FFmpeg, file, opts.MaxDuration), ffmpegPatience)
	if err != nil {
		return nil, err
	}
	run.file = file
	s, err := run.open(ctx, what, opts)
	if err != nil {
		run.close()
		return nil, err
	}
	return s, nil
}

func findFFmpeg(what *codec.Foreign, opts codec.Options) (string, error) {
	if opts.FFmpeg == codec.NoFFmpeg || what.FFmpeg == "" {
		return "", codec.Unsupported(what.Name, "%s is not decoded here", what.What())
	}
	name := opts.FFmpeg
	if name == "" {
		name = "ffmpeg"
	}
	program, err := exec.LookPath(name)
	if err == nil {
		return filepath.Abs(program)
	}
	return "", &codec.Error{
		Kind: codec.KindNeedsFFmpeg, Format: what.Name, Err: err,
		Message: fmt.Sprintf("%s is decoded by the program ffmpeg, which was not found", what.What()),
		Advice:  "install it with: " + installFFmpeg(runtime.GOOS),
	}
}

func installFFmpeg(system string) string {
	switch system {
	case "darwin":
		return "brew install ffmpeg"
	case "windows":
		return "winget install ffmpeg"
	}
	return "sudo apt install ffmpeg"
}

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
	waited   bool
	err      error
}

func startFFmpeg(ctx context.Context, program string, args []string, patience time.Duration) (*ffmpegRun, error) {
	ctx, cancel := context.WithCancel(ctx)
	r := &ffmpegRun{cmd: exec.CommandContext(ctx, program, args...), stderr: &tail{}, cancel: cancel, patience: patience}
	r.cmd.Stderr = r.stderr
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
		return nil, &codec.Error{Kind: codec.KindNeedsFFmpeg, Message: "ffmpeg does not start: " + codec.PlainCause(err), Err: err}
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
		r.wait()
		if r.err == nil {
			err = io.EOF
		}
	}
	return n, err
}

func (r *ffmpegRun) wait() {
	if !r.waited {
		r.waited = true
		r.err = r.cmd.Wait()
	}
}

// close ends ffmpeg.
func (r *ffmpegRun) close() {
	r.timer.Stop()
	r.cancel()
	_ = r.stdout.Close()
	r.wait()
}

// open reads the WAV header that ffmpeg sends and the sound behind it.
func (r *ffmpegRun) open(ctx context.Context, what *codec.Foreign, opts codec.Options) (*codec.Sound, error) {
	in, err := codec.NewInput(ctx, r, 1<<62)
	if err != nil {
		return nil, err
	}
	s, err := pcm.OpenWAV(in, opts)
	if err != nil {
		limit, ok := errors.AsType[*codec.Error](err)
		if ok && (limit.Kind == codec.KindLimit || limit.Kind == codec.KindUnsupported) {
			limit.Format = what.Name
			return nil, limit
		}
		r.wait()
		return nil, r.failure(ctx, what)
	}
	s.Format, s.Codec = what.Name, cmp.Or(what.Code, what.Name)
	s.ByFFmpeg = true
	wav := s.Decoder
	s.Decoder = codec.DecodeFunc(func(dst []float32) (int, error) {
		n, err := wav.Decode(dst)
		if n == 0 && err != nil {
			r.wait()
			if ctx.Err() != nil {
				return 0, context.Cause(ctx)
			}
			if r.stuck.Load() {
				return 0, r.failure(ctx, what)
			}
			if r.err != nil {
				s.Damage.CutShort = true
			}
			return 0, io.EOF
		}
		return n, err
	})
	in.Commit()
	s.Close = r.close
	return s, nil
}

// failure explains why ffmpeg sent nothing of use.
func (r *ffmpegRun) failure(ctx context.Context, what *codec.Foreign) error {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if r.stuck.Load() {
		return &codec.Error{
			Kind: codec.KindMalformed, Format: what.Name,
			Message: fmt.Sprintf("ffmpeg got stuck on this %s file", what.Display), Advice: "record or export it again",
		}
	}
	message := fmt.Sprintf("ffmpeg cannot decode this %s file", what.Display)
	if said := r.stderr.lastLine(r.file); said != "" {
		message += " (" + said + ")"
	}
	return &codec.Error{
		Kind: codec.KindMalformed, Format: what.Name, Message: message,
		Advice: "record or export it again", Err: r.err,
	}
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
