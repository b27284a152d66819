package audio_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"flag"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

var writeSource = flag.String("write-source", "",
	"write the sound that the files in testdata were encoded from to this WAV file")

func TestMain(m *testing.M) {
	flag.Parse()
	if *writeSource != "" {
		file := wavFile(wavSpec{tag: 1, channels: 1, rate: 44100, bits: 16},
			pcm16(clapTrain(44100, fixtureSeconds, 0)))
		if err := os.WriteFile(*writeSource, file, 0o644); err != nil {
			panic(err)
		}
		return
	}
	os.Exit(m.Run())
}

const fixtureSeconds = 1.5

// clapTimes are the onsets of clapTrain in seconds; they repeat every 3 s.
var clapTimes = []float64{0, 0.25, 0.5, 0.8, 1.1, 1.35, 1.7, 2.0, 2.3, 2.75}

// clapTrain is mono sound like hand claps: two decaying resonances and a little
// noise at clapTimes, over a noise floor of the given level.
func clapTrain(rate int, seconds, floor float64) []float64 {
	rng := rand.New(rand.NewPCG(7, 11))
	x := make([]float64, int(math.Round(float64(rate)*seconds)))
	for start := 0.0; start < seconds; start += 3 {
		for _, t := range clapTimes {
			at := int(math.Round((start + t) * float64(rate)))
			for i := range rate / 16 {
				if at+i >= len(x) {
					break
				}
				s := float64(i) / float64(rate)
				x[at+i] += 0.5 * math.Exp(-s/0.006) *
					(0.6*math.Sin(2*math.Pi*1150*s) + 0.5*math.Sin(2*math.Pi*2300*s) + 0.2*rng.NormFloat64())
			}
		}
	}
	for i := range x {
		x[i] = math.Max(-1, math.Min(1, x[i]+floor*rng.NormFloat64()))
	}
	return x
}

// interleave puts channels side by side.
func interleave(channels ...[]float64) []float64 {
	out := make([]float64, 0, len(channels)*len(channels[0]))
	for i := range channels[0] {
		for _, c := range channels {
			out = append(out, c[i])
		}
	}
	return out
}

func pcm16(sound []float64) []byte {
	b := make([]byte, 0, 2*len(sound))
	for _, x := range sound {
		b = binary.LittleEndian.AppendUint16(b, uint16(int16(math.Round(x*32767))))
	}
	return b
}

// wavSpec is the format of a WAV file to be built.
type wavSpec struct {
	tag, channels, rate, bits int
	container                 int    // bytes of a sample, 0: as many as bits need
	extensible                bool   // tag goes into the GUID
	guid                      string // other than the usual tail
}

func chunk(id string, body []byte) []byte {
	b := append([]byte(id), binary.LittleEndian.AppendUint32(nil, uint32(len(body)))...)
	b = append(b, body...)
	if len(body)%2 == 1 {
		b = append(b, 0)
	}
	return b
}

const guidTail = "\x00\x00\x00\x00\x10\x00\x80\x00\x00\xaa\x00\x38\x9b\x71"

func fmtChunk(s wavSpec) []byte {
	size := s.container
	if size == 0 {
		size = (s.bits + 7) / 8
	}
	tag := s.tag
	if s.extensible {
		tag = 0xfffe
	}
	le := binary.LittleEndian
	b := le.AppendUint16(nil, uint16(tag))
	b = le.AppendUint16(b, uint16(s.channels))
	b = le.AppendUint32(b, uint32(s.rate))
	b = le.AppendUint32(b, uint32(s.rate*s.channels*size))
	b = le.AppendUint16(b, uint16(s.channels*size))
	if !s.extensible {
		return chunk("fmt ", le.AppendUint16(b, uint16(s.bits)))
	}
	b = le.AppendUint16(b, uint16(8*size))
	b = le.AppendUint16(b, 22)
	b = le.AppendUint16(b, uint16(s.bits))
	b = le.AppendUint32(b, 0)
	b = le.AppendUint16(b, uint16(s.tag))
	if s.guid == "" {
		s.guid = guidTail
	}
	return chunk("fmt ", append(b, s.guid...))
}

func riff(chunks ...[]byte) []byte {
	body := []byte("WAVE")
	for _, c := range chunks {
		body = append(body, c...)
	}
	b := append([]byte("RIFF"), binary.LittleEndian.AppendUint32(nil, uint32(len(body)))...)
	return append(b, body...)
}

func wavFile(s wavSpec, data []byte) []byte { return riff(fmtChunk(s), chunk("data", data)) }

// noFFmpeg keeps tests independent of what is installed.
var noFFmpeg = audio.Options{FFmpeg: audio.NoFFmpeg}

// result is a recording decoded to its end.
type result struct {
	samples  []float32
	info     audio.Info
	warnings []audio.Warning
}

func (r result) codes() []string {
	var codes []string
	for _, w := range r.warnings {
		codes = append(codes, w.Code)
	}
	return codes
}

// decode reads everything from r.
func decode(ctx context.Context, r io.Reader, opts audio.Options) (result, error) {
	s, err := audio.Open(ctx, r, opts)
	if err != nil {
		return result{}, err
	}
	defer s.Close()
	var res result
	buf := make([]float32, 5000)
	for err == nil {
		var n int
		n, err = s.Read(buf)
		res.samples = append(res.samples, buf[:n]...)
	}
	res.info, res.warnings = s.Info(), s.Warnings()
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return res, err
}

func mustDecode(t testing.TB, file []byte) result {
	t.Helper()
	res, err := decode(t.Context(), bytes.NewReader(file), noFFmpeg)
	require.NoError(t, err)
	return res
}

func readFixture(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", name))
	require.NoError(t, err)
	return b
}

// asError is the *audio.Error in err.
func asError(t testing.TB, err error) *audio.Error {
	t.Helper()
	e, ok := errors.AsType[*audio.Error](err)
	require.True(t, ok, "not an *audio.Error: %v", err)
	return e
}

// sourceAt16k is the sound of the fixtures as the stream should give it.
func sourceAt16k(t testing.TB) []float32 {
	t.Helper()
	file := wavFile(wavSpec{tag: 1, channels: 1, rate: 44100, bits: 16},
		pcm16(clapTrain(44100, fixtureSeconds, 0)))
	return mustDecode(t, file).samples
}

// lag is the shift in milliseconds of got against want that fits best within
// 7.5 ms, by cross-correlation with a parabola through its top, and the correlation.
func lag(got, want []float32) (ms, correlation float64) { return lagWithin(120, got, want) }

func lagWithin(most int, got, want []float32) (ms, correlation float64) {
	c := make([]float64, 2*most+1)
	best := 0
	for k := range c {
		shift := k - most
		for i := max(0, -shift); i < len(want) && i+shift < len(got); i++ {
			c[k] += float64(want[i]) * float64(got[i+shift])
		}
		if c[k] > c[best] {
			best = k
		}
	}
	top := float64(best)
	if best > 0 && best < len(c)-1 {
		a, b, d := c[best-1], c[best], c[best+1]
		top += (a - d) / (2 * (a - 2*b + d))
	}
	return (top - float64(most)) * 1000 / audio.Rate, c[best] / math.Sqrt(power(got)*power(want))
}

func power(x []float32) float64 {
	sum := 0.0
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return sum
}

// clapLags gives the lag of each clap by itself.
func clapLags(got, want []float32) []float64 {
	var lags []float64
	for _, t := range clapTimes {
		from := max(0, int((t-0.03)*audio.Rate))
		to := int((t + 0.1) * audio.Rate)
		if to > min(len(got), len(want)) {
			break
		}
		ms, _ := lagWithin(50, got[from:to], want[from:to])
		lags = append(lags, ms)
	}
	return lags
}
