package ffmpeg

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
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
func openFFmpeg(ctx context.Context, in *codec.Input, what *codec.Foreign,
	opts codec.Options,
) (*codec.Sound, error) {
	program, err := findFFmpeg(what, opts)
	if err != nil {
		return nil, err
	}
	file, err := in.File()
	if err != nil {
		return nil, err
	}
	path, files := passed(file)
	run, err := startFFmpeg(ctx, program, ffmpegArgs(what.FFmpeg, path, opts.MaxDuration), files,
		ffmpegPatience)
	if err != nil {
		return nil, err
	}
	run.file = path
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
	name := cmp.Or(opts.FFmpeg, "ffmpeg")
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
		if refused := codec.ShapeUnder(what.Name, err, opts); refused != nil {
			return nil, refused
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
			Message: fmt.Sprintf("ffmpeg got stuck on this %s file", what.Display),
			Advice:  "record or export it again",
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
