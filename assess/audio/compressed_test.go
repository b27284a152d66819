package audio_test

import (
	"bytes"
	"io"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// compressed are the recordings in testdata that are decoded in Go.
var compressed = []struct {
	file, format, codec string
	rate, channels      int
	correlation         float64 // at least, against the sound before encoding
	mean, worst         float64 // lag in ms: bounds of mean and of each clap
	hit                 int     // where the damage test hits, percent of the file
}{
	{"claps-22050.flac", "flac", "flac", 22050, 1, 0.9999, 0.01, 0.02, 20},
	{"claps-44100.mp3", "mp3", "mp3", 44100, 1, 0.98, 0.02, 0.1, 40},
	{"claps-22050.mp3", "mp3", "mp3", 22050, 1, 0.98, 0.02, 0.1, 40},
	{"claps-24000-stereo.mp3", "mp3", "mp3", 24000, 2, 0.98, 0.02, 0.1, 40},
	{"claps.m4a", "mp4", "aac", 44100, 1, 0.99, 0.02, 0.1, 40},
	{"claps.3gp", "mp4", "aac", 16000, 1, 0.99, 0.02, 0.1, 40},
	{"claps-stereo.mov", "mp4", "aac", 44100, 2, 0.98, 0.02, 0.1, 40},
	{"claps.aac", "aac", "aac", 44100, 1, 0.99, 0.02, 0.1, 40},
	{"claps-celt.opus", "ogg", "opus", 48000, 1, 0.99, 0.02, 0.1, 40},
	{"claps-silk.opus", "ogg", "opus", 48000, 1, 0.85, 0.15, 0.5, 40},
	{"claps.ogg", "ogg", "vorbis", 44100, 1, 0.97, 0.02, 0.1, 75},
}

func TestClapsAreAtTheSameTimeInEveryFormat(t *testing.T) {
	want := sourceAt16k(t)
	for _, c := range compressed {
		t.Run(c.file, func(t *testing.T) {
			res := mustDecode(t, readFixture(t, c.file))
			assert.Equal(t, c.format, res.info.Format)
			assert.Equal(t, c.codec, res.info.Codec)
			assert.Equal(t, c.rate, res.info.SampleRate)
			assert.Equal(t, c.channels, res.info.Channels)
			assert.False(t, res.info.ByFFmpeg)
			// Bare AAC cannot say where its last frame ends.
			longer := map[bool]float64{true: 0.024, false: 0}[c.format == "aac"]
			assert.InDelta(t, fixtureSeconds, res.info.Duration.Seconds(), 0.0001+longer)
			assert.Empty(t, res.warnings)

			_, r := lag(res.samples, want)
			assert.GreaterOrEqual(t, r, c.correlation)
			sum := 0.0
			lags := clapLags(res.samples, want)
			require.Len(t, lags, 6)
			for i, ms := range lags {
				assert.LessOrEqual(t, math.Abs(ms), c.worst, "clap %d", i)
				sum += ms
			}
			assert.LessOrEqual(t, math.Abs(sum/6), c.mean, "mean lag of %v", lags)
		})
	}
}

func TestTheSameFromAPipe(t *testing.T) {
	for _, c := range compressed {
		t.Run(c.file, func(t *testing.T) {
			file := readFixture(t, c.file)
			want := mustDecode(t, file).samples
			t.Setenv("TMPDIR", t.TempDir())
			for name, r := range map[string]io.Reader{
				"no seeking":     struct{ io.Reader }{bytes.NewReader(file)},
				"byte by byte":   &slowReader{data: file, most: 1},
				"in odd pieces":  &slowReader{data: file, most: 777},
				"not from start": seekedBehind(t, file),
			} {
				res, err := decode(t.Context(), r, noFFmpeg)
				require.NoError(t, err, name)
				assert.Equal(t, want, res.samples, name)
			}
			assertNoTemporaryFiles(t)
		})
	}
}

// slowReader gives at most so many bytes at a time.
type slowReader struct {
	data []byte
	most int
}

func (s *slowReader) Read(p []byte) (int, error) {
	if len(s.data) == 0 {
		return 0, io.EOF
	}
	n := copy(p[:min(len(p), s.most)], s.data)
	s.data = s.data[n:]
	return n, nil
}

// seekedBehind is a file that begins in the middle of another.
func seekedBehind(t *testing.T, file []byte) io.Reader {
	r := bytes.NewReader(append([]byte("something else"), file...))
	_, err := r.Seek(14, io.SeekStart)
	require.NoError(t, err)
	return r
}

func TestCutFilesGiveTheirBeginning(t *testing.T) {
	for _, c := range compressed {
		if c.format == "mp4" {
			continue // the index is at the end: see TestUnfinishedMP4
		}
		t.Run(c.file, func(t *testing.T) {
			file := readFixture(t, c.file)
			want := mustDecode(t, file).samples
			res := mustDecode(t, file[:len(file)*3/4-2])
			assert.Contains(t, res.codes(), "cut-short")
			// The end of what is there may be missing its overlap.
			n := len(res.samples) - 1200
			require.Greater(t, n, len(want)/4)
			ms, r := lag(res.samples[:n], want[:n])
			assert.InDelta(t, 0, ms, 0.02)
			assert.Greater(t, r, 0.99)
		})
	}
}

func TestDamageInTheMiddleKeepsTimeBehindIt(t *testing.T) {
	for _, c := range compressed {
		if c.format == "mp4" {
			continue // see TestDamagedMP4Frames
		}
		t.Run(c.file, func(t *testing.T) {
			file := readFixture(t, c.file)
			want := mustDecode(t, file).samples
			hit := bytes.Clone(file)
			for i := range 40 {
				hit[len(hit)*c.hit/100+i] ^= 0x5a
			}
			res := mustDecode(t, hit)
			assert.Contains(t, res.codes(), "damaged")
			// From 1.05 s on everything is back in place.
			from := audio.Rate * 105 / 100
			require.Greater(t, len(res.samples), from+audio.Rate*4/10)
			ms, r := lag(res.samples[from:], want[from:])
			assert.InDelta(t, 0, ms, 0.05)
			assert.Greater(t, r, 0.95)
		})
	}
}

func TestFileOfOnlyAHeader(t *testing.T) {
	for _, c := range compressed {
		t.Run(c.file, func(t *testing.T) {
			file := readFixture(t, c.file)
			for _, n := range []int{5, 12, 40} {
				_, err := decode(t.Context(), bytes.NewReader(file[:n]), noFFmpeg)
				require.Error(t, err, "%d bytes", n)
				kind := asError(t, err).Kind
				assert.Contains(t, []audio.Kind{"malformed", "empty", "not-audio"}, kind, err)
			}
		})
	}
}
