package audio_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// needFFmpeg skips where the program is not installed.
func needFFmpeg(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		t.Skip("ffmpeg is not installed")
	}
}

// transcode has ffmpeg write the source of the fixtures in another format.
func transcode(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.wav"), filepath.Join(dir, name)
	file := wavFile(wavSpec{tag: 1, channels: 1, rate: 44100, bits: 16},
		pcm16(clapTrain(44100, fixtureSeconds, 0)))
	require.NoError(t, os.WriteFile(in, file, 0o600))
	args = append(append([]string{"-nostdin", "-loglevel", "error", "-i", in}, args...), out)
	said, err := exec.CommandContext(t.Context(), "ffmpeg", args...).CombinedOutput()
	if err != nil && strings.Contains(string(said), "Unknown encoder") {
		t.Skip("this ffmpeg lacks an encoder")
	}
	require.NoError(t, err, "%s", said)
	b, err := os.ReadFile(out)
	require.NoError(t, err)
	return b
}

func TestFormatsThatFFmpegDecodes(t *testing.T) {
	needFFmpeg(t)
	want := sourceAt16k(t)
	for _, test := range []struct {
		name, format string
		late         int // samples: this container does not tell how much is priming
		args         []string
	}{
		{"alac.m4a", "mp4", 0, []string{"-c:a", "alac"}},
		{"alac.caf", "caf", 0, []string{"-c:a", "alac"}},
		{"opus.webm", "webm", 0, []string{"-c:a", "libopus", "-b:a", "64k"}},
		{"x.wv", "wavpack", 0, nil},
		{"adpcm.wav", "wav", 0, []string{"-c:a", "adpcm_ima_wav"}},
		{"fragments.mp4", "mp4", 1024, []string{
			"-c:a", "aac", "-b:a", "96k", "-movflags",
			"frag_keyframe+empty_moov",
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			file := transcode(t, test.name, test.args...)
			t.Setenv("TMPDIR", t.TempDir())
			res, err := decode(t.Context(), &slowReader{file, 1000}, audio.Options{})
			require.NoError(t, err)
			assert.True(t, res.info.ByFFmpeg)
			assert.Equal(t, test.format, res.info.Format)
			skip := int(math.Round(float64(test.late) * audio.Rate / 44100))
			ms, r := lag(res.samples[skip:], want)
			assert.InDelta(t, 0, ms, 0.1)
			assert.Greater(t, r, 0.85)
			assertNoTemporaryFiles(t)
		})
	}
}

func TestAMR(t *testing.T) {
	needFFmpeg(t)
	res, err := decode(t.Context(), bytes.NewReader(readFixture(t, "claps.amr")), audio.Options{})
	require.NoError(t, err)
	assert.Equal(t, "amr", res.info.Format)
	assert.Equal(t, 8000, res.info.SampleRate)
	assert.InDelta(t, fixtureSeconds, res.info.Duration.Seconds(), 0.021)
	assert.Equal(t, []string{"low-rate"}, res.codes())
	ms, _ := lag(res.samples, sourceAt16k(t))
	assert.InDelta(t, 5, ms, 1) // the codec's own look-ahead
}

// Our decoders against ffmpeg's, on the same files: an independent judge.
func TestAgreesWithFFmpeg(t *testing.T) {
	needFFmpeg(t)
	for _, c := range compressed {
		if c.format == "aac" || c.file == "claps.3gp" {
			continue // ffmpeg leaves the priming in; the same as the other MP4 files
		}
		t.Run(c.file, func(t *testing.T) {
			cmd := exec.CommandContext(t.Context(), "ffmpeg", "-nostdin", "-loglevel", "error",
				"-i", filepath.Join("testdata", c.file), "-f", "f32le", "-c:a", "pcm_f32le", "-ac", "1", "-")
			raw, err := cmd.Output()
			require.NoError(t, err)
			theirs := make([]float64, len(raw)/4)
			for i := range theirs {
				theirs[i] = float64(math.Float32frombits(binary.LittleEndian.Uint32(raw[4*i:])))
			}
			spec := wavSpec{tag: 3, channels: 1, rate: c.rate, bits: 32}
			want := mustDecode(t, wavFile(spec, encode(spec, theirs))).samples
			ms, r := lag(mustDecode(t, readFixture(t, c.file)).samples, want)
			assert.InDelta(t, 0, ms, 0.1)
			// SILK's resampler differs in phase at the top of its band.
			least := map[bool]float64{true: 0.85, false: 0.998}[strings.Contains(c.file, "silk")]
			assert.Greater(t, r, least)
		})
	}
}

func TestWithoutFFmpegOneCommandInstallsIt(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	_, err := decode(t.Context(), bytes.NewReader(readFixture(t, "claps.amr")), audio.Options{})
	e := asError(t, err)
	assert.EqualValues(t, "needs-ffmpeg", e.Kind)
	assert.Contains(t, err.Error(),
		"AMR is decoded by the program ffmpeg, which was not found; install it with: ")
	assert.Contains(t, err.Error(), "install ffmpeg")
	require.ErrorIs(t, err, exec.ErrNotFound)

	_, err = decode(t.Context(), bytes.NewReader(readFixture(t, "claps.amr")), noFFmpeg)
	assert.EqualValues(t, "unsupported", asError(t, err).Kind)
}

// fakeFFmpeg is a shell script in ffmpeg's place. Its directory is returned for
// what it writes.
func fakeFFmpeg(t *testing.T, body string) (program, dir string) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("needs a shell")
	}
	dir = t.TempDir()
	program = filepath.Join(dir, "fake")
	script := "#!/bin/sh\ncd " + dir +
		"\necho $$ > pid\nenv > env\nfor a in \"$@\"; do echo \"$a\"; done > args\n" + body + "\n"
	require.NoError(t, os.WriteFile(program, []byte(script), 0o700))
	return program, dir
}

func read(t *testing.T, dir, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, name))
	require.NoError(t, err)
	return string(b)
}

func TestFFmpegIsCalledSafely(t *testing.T) {
	t.Setenv("FFREPORT", "file=/tmp/report.log")
	t.Setenv("TMPDIR", t.TempDir())
	answer := wavFile(wavSpec{tag: 3, channels: 1, rate: 8000, bits: 32}, make([]byte, 4*8000))
	program, dir := fakeFFmpeg(t, `f=$(grep '^file:' args | cut -c6-); cat "$f" > seen; ls -lL "$f" > modes; cat answer`)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "answer"), answer, 0o600))
	hostile := []byte("#!AMR\n#EXTM3U\n-i http://harbour.example/x\nconcat:/etc/passwd\n")
	res, err := decode(t.Context(), bytes.NewReader(hostile),
		audio.Options{FFmpeg: program, MaxDuration: time.Minute})
	require.NoError(t, err)
	assert.Len(t, res.samples, audio.Rate)
	assert.True(t, res.info.ByFFmpeg)

	args := strings.Split(strings.TrimSpace(read(t, dir, "args")), "\n")
	input := args[indexOf(args, "-i")+1]
	assert.Equal(t, "file:/dev/fd/3", input, "a file without a name, passed as it is")
	assert.Equal(t, string(hostile), read(t, dir, "seen"))
	assert.Equal(t, "amr", args[indexOf(args, "-i")-1], "the demuxer is given")
	assert.Equal(t, "file,pipe", args[indexOf(args, "-protocol_whitelist")+1])
	assert.Less(t, indexOf(args, "-protocol_whitelist"), indexOf(args, "-i"))
	assert.Equal(t, "61.000", args[indexOf(args, "-t")+1])
	assert.Contains(t, args, "-nostdin")
	assert.NotContains(t, strings.Join(args, " "), "harbour")
	assert.NotContains(t, read(t, dir, "env"), "FFREPORT")
	modes := strings.Fields(read(t, dir, "modes"))
	assert.Equal(t, "-rw-------", modes[0])
	assert.Equal(t, "0", modes[1], "no link is left, so a kill leaves nothing behind")
	assertNoTemporaryFiles(t)
}

func indexOf(list []string, s string) int {
	for i, v := range list {
		if v == s {
			return i
		}
	}
	return -1
}

func TestFFmpegThatFails(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	amr := []byte("#!AMR\nsomething")
	for name, test := range map[string]struct{ script, want string }{
		"says why":       {`f=$(grep '^file:' args); printf 'line one\n\033[31m%s: Invalid data\033[0m\n' "$f" >&2; exit 1`, "ffmpeg cannot decode this AMR file ([31mthe file: Invalid data[0m); record or export it again"},
		"says nothing":   {"exit 1", "ffmpeg cannot decode this AMR file; record or export it again"},
		"talks nonsense": {"echo hello", "ffmpeg cannot decode this AMR file"},
		"header only":    {"head -c 44 answer", "this recording holds no sound"},
		"at a wild rate": {
			"cat wild; exec sleep 60",
			"this AMR file claims 400000 samples a second; 4,000 to 192,000 are read",
		},
		"too many voices": {"cat many", "the recording has 9 channels, more than 8"},
	} {
		t.Run(name, func(t *testing.T) {
			program, dir := fakeFFmpeg(t, test.script)
			answer := wavFile(wavSpec{tag: 3, channels: 1, rate: 8000, bits: 32}, make([]byte, 400))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "answer"), answer, 0o600))
			many := wavFile(wavSpec{tag: 3, channels: 9, rate: 8000, bits: 32}, make([]byte, 360))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "many"), many, 0o600))
			wild := wavFile(wavSpec{tag: 3, channels: 1, rate: 400000, bits: 32}, make([]byte, 1<<20))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "wild"), wild, 0o600))
			_, err := decode(t.Context(), bytes.NewReader(amr), audio.Options{FFmpeg: program})
			require.Error(t, err)
			assert.True(t, strings.HasPrefix(err.Error(), test.want), "%s", err)
			assert.NotContains(t, err.Error(), os.TempDir())
		})
	}
	t.Run("in the middle", func(t *testing.T) {
		program, dir := fakeFFmpeg(t, "cat answer; exit 1")
		answer := wavFile(wavSpec{tag: 3, channels: 1, rate: 8000, bits: 32}, make([]byte, 4*8000))
		require.NoError(t, os.WriteFile(filepath.Join(dir, "answer"), answer[:20000], 0o600))
		res, err := decode(t.Context(), bytes.NewReader(amr), audio.Options{FFmpeg: program})
		require.NoError(t, err)
		assert.Contains(t, res.codes(), "cut-short")
	})
	assertNoTemporaryFiles(t)
}

func TestFFmpegEndsWithTheContextAndWithClose(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	amr := []byte("#!AMR\nsomething")
	answer := wavFile(wavSpec{tag: 3, channels: 1, rate: 8000, bits: 32}, make([]byte, 4*8000*20))
	gone := func(dir string) func() bool {
		return func() bool {
			pid, err := strconv.Atoi(strings.TrimSpace(read(t, dir, "pid")))
			require.NoError(t, err)
			process, err := os.FindProcess(pid)
			return err != nil || errors.Is(process.Signal(syscall.Signal(0)), os.ErrProcessDone)
		}
	}
	t.Run("before the first sound", func(t *testing.T) {
		program, dir := fakeFFmpeg(t, "exec sleep 60")
		ctx, cancel := context.WithTimeout(t.Context(), 500*time.Millisecond)
		defer cancel()
		_, err := decode(ctx, bytes.NewReader(amr), audio.Options{FFmpeg: program})
		require.ErrorIs(t, err, context.DeadlineExceeded)
		assert.Eventually(t, gone(dir), 5*time.Second, 5*time.Millisecond)
	})
	t.Run("closed in the middle", func(t *testing.T) {
		program, dir := fakeFFmpeg(t, "cat answer; exec sleep 60")
		require.NoError(t, os.WriteFile(filepath.Join(dir, "answer"), answer, 0o600))
		s, err := audio.Open(t.Context(), bytes.NewReader(amr), audio.Options{FFmpeg: program})
		require.NoError(t, err)
		_, err = s.Read(make([]float32, 100))
		require.NoError(t, err)
		begin := time.Now()
		require.NoError(t, s.Close())
		assert.Less(t, time.Since(begin), 30*time.Second, "Close must not wait for ffmpeg's own end")
		assert.Eventually(t, gone(dir), 5*time.Second, 5*time.Millisecond)
	})
	assertNoTemporaryFiles(t)
}
