package audio_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

func TestMistakesGetOneClearLine(t *testing.T) {
	for name, test := range map[string]struct {
		file string
		kind audio.Kind
		want string
	}{
		"empty file": {"", "empty", "the file is empty; check that the recording was saved"},
		"text file": {
			"Dear boatyard,\nthe tide is at four.\n", "not-audio",
			"this is a text file, not a recording; a file does not become sound by its name; export or record it as WAV, M4A or MP3",
		},
		"one letter": {"x", "not-audio", "this is a text file"},
		"accents":    {"Grüße vom Steg – ½ sechs, mit Möwen", "not-audio", "this is a text file"},
		"UTF-16":     {"\xff\xfeD\x00e\x00a\x00r\x00", "not-audio", "this is a text file"},
		"web page": {
			"<!DOCTYPE html><title>Sign in</title>", "not-audio",
			"this is a text file",
		},
		"TOML": {"[[phrase]]\nid = \"gangway\"\n", "not-audio", "this is a text file"},
		"picture": {
			"\x89PNG\r\n\x1a\n\x00\x00", "not-audio",
			"this is a picture, not a recording",
		},
		"photo": {
			"\xff\xd8\xff\xe0\x00\x10JFIF", "not-audio",
			"this is a picture, not a recording",
		},
		"archive": {
			"PK\x03\x04\x14\x00", "not-audio",
			"this is a ZIP archive, not a recording; unpack it and give the sound file inside",
		},
		"MIDI": {
			"MThd\x00\x00\x00\x06\x00\x01", "not-audio",
			"this is a MIDI file, which holds notes but no sound; give it as taps instead",
		},
		"zeros": {
			strings.Repeat("\x00", 1000), "not-audio",
			"this is not a sound file of a known kind; use WAV, M4A, MP3, FLAC, Ogg or Opus, or convert it with: ffmpeg -i IN -ac 1 OUT.wav",
		},
		"noise": {
			"\x07\x91\xfe\x00\x10\x99\xee\x01\x02\x03\x80", "not-audio",
			"this is not a sound file of a known kind",
		},
		"four letters": {
			"RIFF", "malformed",
			"this WAV file ends before its sound begins; record or export it again",
		},
		"AIFF, cut": {
			"FORM\x00\x00\x00\x10AIFFCOMM", "malformed",
			"this AIFF file ends before its sound begins",
		},
		"FLAC, cut": {
			"fLaC\x00\x00", "malformed",
			"this FLAC file ends before its sound begins",
		},
		"Ogg, cut": {"OggS\x00\x02", "malformed", "this Ogg file ends before its sound begins"},
		"MP4, cut": {
			"\x00\x00\x00\x18ftypM4A \x00\x00", "malformed",
			"this MP4 file ends before its sound begins",
		},
		"CAF": {
			"caff\x00\x01\x00\x00", "unsupported",
			"CAF is not decoded here; convert it with: ffmpeg -i IN -ac 1 OUT.wav",
		},
		"AMR": {"#!AMR\n\x3c", "unsupported", "AMR is not decoded here"},
		"WebM": {
			"\x1a\x45\xdf\xa3\x9fB\x86\x81\x01B\xf7\x81\x01B\x82\x84webm",
			"unsupported", "WebM is not decoded here",
		},
		"Matroska": {
			"\x1a\x45\xdf\xa3\x9fB\x82\x88matroska", "unsupported",
			"Matroska is not decoded here",
		},
		"AIFF-C, exotic": {"FORM\x00\x00\x00\x40AIFCCOMM\x00\x00\x00\x18\x00\x01\x00\x00\x00\x00\x00\x10\x40\x0e\xac\x44\x00\x00\x00\x00\x00\x00MAC6\x00\x00", "unsupported", "an unusual codec in AIFF is not decoded here"},
	} {
		t.Run(name, func(t *testing.T) {
			for _, r := range []io.Reader{strings.NewReader(test.file), &slowReader{[]byte(test.file), 1}} {
				_, err := audio.Open(t.Context(), r, noFFmpeg)
				require.Error(t, err)
				e := asError(t, err)
				assert.Equal(t, test.kind, e.Kind, err)
				assert.True(t, strings.HasPrefix(err.Error(), test.want), "%s", err)
				assert.NotContains(t, err.Error(), "\n")
			}
		})
	}
}

func TestFoldersAndUnreadableFiles(t *testing.T) {
	dir, err := os.Open(t.TempDir())
	require.NoError(t, err)
	defer dir.Close()
	for name, r := range map[string]io.Reader{"with Stat": dir, "without": struct{ io.Reader }{dir}} {
		_, err := audio.Open(t.Context(), r, noFFmpeg)
		assert.EqualValues(t, "directory", asError(t, err).Kind, name)
		assert.Equal(t, "this is a folder, not a recording; name the sound file inside it", err.Error(), name)
	}
	broken := errors.New("the cable came off")
	for _, after := range []int{0, 100, 20000} {
		spec := wavSpec{tag: 1, channels: 1, rate: audio.Rate, bits: 16}
		file := wavFile(spec, pcm16(clapTrain(audio.Rate, 2, 0)))
		_, err = decode(t.Context(), io.MultiReader(bytes.NewReader(file[:after]), failing{broken}), noFFmpeg)
		assert.EqualValues(t, "read", asError(t, err).Kind)
		require.ErrorIs(t, err, broken)
		assert.Contains(t, err.Error(), "the recording cannot be read: the cable came off")
	}
	closed, err := os.Create(filepath.Join(t.TempDir(), "x"))
	require.NoError(t, err)
	require.NoError(t, closed.Close())
	_, err = audio.Open(t.Context(), closed, noFFmpeg)
	assert.EqualValues(t, "read", asError(t, err).Kind)
	assert.NotContains(t, err.Error(), closed.Name())
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

// stingy never gives anything and never ends.
type stingy struct{}

func (stingy) Read([]byte) (int, error) { return 0, nil }

func TestReaderThatGivesNothing(t *testing.T) {
	_, err := audio.Open(t.Context(), stingy{}, noFFmpeg)
	assert.EqualValues(t, "read", asError(t, err).Kind)
	require.ErrorIs(t, err, io.ErrNoProgress)
}

func TestLimitsNameWhatRaisesThem(t *testing.T) {
	spec := wavSpec{tag: 1, channels: 2, rate: audio.Rate, bits: 16}
	track := clapTrain(audio.Rate, 5, 0.001)
	file := wavFile(spec, pcm16(interleave(track, track)))
	for name, test := range map[string]struct {
		opts audio.Options
		want string
	}{
		"max-duration": {
			audio.Options{MaxDuration: 3 * time.Second},
			"the recording is longer than 3s; cut it, or raise the limit (max-duration)",
		},
		"max-channels": {
			audio.Options{MaxChannels: 1},
			"the recording has 2 channels, more than 1; mix it down, or raise the limit (max-channels)",
		},
		"max-bytes": {
			audio.Options{MaxBytes: 100 << 10},
			"the recording is larger than 102400 bytes; cut it, or raise the limit (max-bytes)",
		},
	} {
		for _, r := range []io.Reader{bytes.NewReader(file), struct{ io.Reader }{bytes.NewReader(file)}} {
			_, err := decode(t.Context(), r, test.opts)
			e := asError(t, err)
			assert.EqualValues(t, "limit", e.Kind)
			assert.Equal(t, name, e.Limit)
			assert.Equal(t, test.want, err.Error())
		}
	}
	res, err := decode(t.Context(), bytes.NewReader(file), audio.Options{MaxDuration: 5 * time.Second})
	require.NoError(t, err, "exactly as long as allowed")
	assert.Len(t, res.samples, 5*audio.Rate)
	res, err = decode(t.Context(), bytes.NewReader(file), audio.Options{MaxDuration: 2 * time.Second})
	require.Error(t, err)
	assert.Len(t, res.samples, 2*audio.Rate, "what is within the limit comes first")
	t.Run("a large picture track does not count", func(t *testing.T) {
		file := readFixture(t, "claps.m4a")
		// A video's pictures lie between the boxes; they are never read.
		video := append(append(bytes.Clone(file), 0, 0x10, 0, 0, 'f', 'r', 'e', 'e'),
			make([]byte, 1<<20-8)...)
		res, err := decode(t.Context(), bytes.NewReader(video), audio.Options{MaxBytes: 100 << 10})
		require.NoError(t, err)
		assert.Equal(t, mustDecode(t, file).samples, res.samples)
	})
	t.Run("a file known to be too large is not begun", func(t *testing.T) {
		name := filepath.Join(t.TempDir(), "long.wav")
		require.NoError(t, os.WriteFile(name, file, 0o600))
		f, err := os.Open(name)
		require.NoError(t, err)
		defer f.Close()
		_, err = audio.Open(t.Context(), f, audio.Options{MaxBytes: 300 << 10})
		assert.Equal(t, "max-bytes", asError(t, err).Limit)
	})
	t.Run("MP4", func(t *testing.T) {
		file := readFixture(t, "claps.m4a")
		for _, r := range []io.Reader{bytes.NewReader(file), struct{ io.Reader }{bytes.NewReader(file)}} {
			_, err := decode(t.Context(), r, audio.Options{MaxBytes: 5000})
			assert.Equal(t, "max-bytes", asError(t, err).Limit)
		}
	})
}

func TestCancelling(t *testing.T) {
	spec := wavSpec{tag: 1, channels: 1, rate: audio.Rate, bits: 16}
	file := wavFile(spec, pcm16(clapTrain(audio.Rate, 10, 0.001)))
	why := errors.New("the leader pressed stop")
	t.Run("before", func(t *testing.T) {
		ctx, cancel := context.WithCancelCause(t.Context())
		cancel(why)
		_, err := audio.Open(ctx, bytes.NewReader(file), noFFmpeg)
		require.ErrorIs(t, err, why)
	})
	t.Run("between two reads", func(t *testing.T) {
		ctx, cancel := context.WithCancelCause(t.Context())
		s, err := audio.Open(ctx, bytes.NewReader(file), noFFmpeg)
		require.NoError(t, err)
		defer s.Close()
		cancel(why)
		buf := make([]float32, 1<<20)
		for err == nil {
			_, err = s.Read(buf)
		}
		require.ErrorIs(t, err, why)
	})
	t.Run("while a pipe keeps silent", func(t *testing.T) {
		for _, name := range []string{"claps.aac", "claps.m4a"} {
			r, w := io.Pipe()
			go func() { _, _ = w.Write(readFixture(t, name)[:2000]) }()
			ctx, cancel := context.WithCancelCause(t.Context())
			time.AfterFunc(30*time.Millisecond, func() { cancel(why) })
			_, err := decode(ctx, r, noFFmpeg)
			require.ErrorIs(t, err, why, name)
			require.NoError(t, r.Close())
		}
	})
	t.Run("an endless stream", func(t *testing.T) {
		ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
		defer cancel()
		header := wavFile(spec, nil)
		_, err := decode(ctx, io.MultiReader(bytes.NewReader(header[:len(header)-4]),
			bytes.NewReader([]byte{0xff, 0xff, 0xff, 0xff}), endless{}), audio.Options{})
		require.ErrorIs(t, err, context.DeadlineExceeded)
	})
}

func TestClosing(t *testing.T) {
	s, err := audio.Open(t.Context(), bytes.NewReader(readFixture(t, "claps.ogg")), noFFmpeg)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	require.NoError(t, s.Close())
	_, err = s.Read(make([]float32, 10))
	assert.EqualValues(t, "read", asError(t, err).Kind)
}
