package audio_test

import (
	"bytes"
	"fmt"
	"log"
	"math"
	"testing"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"
	"github.com/mewkiz/flac/meta"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// flacFile encodes sound with the library's own encoder, uncompressed.
func flacFile(t *testing.T, rate, channels, bits int, sound []float64) []byte {
	t.Helper()
	const block = 1024
	frames := len(sound) / channels
	info := &meta.StreamInfo{
		BlockSizeMin: block, BlockSizeMax: block, SampleRate: uint32(rate), NChannels: uint8(channels),
		BitsPerSample: uint8(bits), NSamples: uint64(frames),
	}
	var buf bytes.Buffer
	enc, err := flac.NewEncoder(&buf, info)
	require.NoError(t, err)
	for start := 0; start < frames; start += block {
		n := min(block, frames-start)
		f := &frame.Frame{Header: frame.Header{
			HasFixedBlockSize: true, BlockSize: uint16(n), SampleRate: uint32(rate),
			Channels: frame.Channels(channels - 1), BitsPerSample: uint8(bits), Num: uint64(start / block),
		}}
		for c := range channels {
			sub := &frame.Subframe{SubHeader: frame.SubHeader{Pred: frame.PredVerbatim}, NSamples: n}
			for i := range n {
				v := math.Round(sound[(start+i)*channels+c] * (math.Ldexp(1, bits-1) - 1))
				sub.Samples = append(sub.Samples, int32(v))
			}
			f.Subframes = append(f.Subframes, sub)
		}
		require.NoError(t, enc.WriteFrame(f))
	}
	require.NoError(t, enc.Close())
	return buf.Bytes()
}

func TestFLACIsExactAtEveryRateAndDepthAndKeepsTheLogClean(t *testing.T) {
	var said bytes.Buffer
	old := log.Writer()
	log.SetOutput(&said)
	t.Cleanup(func() { log.SetOutput(old) })
	for _, rate := range []int{8000, 11025, 16000, 22050, 24000, 32000, 44100, 48000, 96000, 176400, 192000} {
		for _, bits := range []int{8, 16, 24} {
			for _, channels := range []int{1, 2} {
				name := fmt.Sprintf("%d Hz, %d bits, %d channels", rate, bits, channels)
				track := clapTrain(rate, 0.2, 0.01)
				tracks := [][]float64{track, track}[:channels]
				encoded := flacFile(t, rate, channels, bits, interleave(tracks...))
				said.Reset() // the encoder may talk, too
				got := mustDecode(t, encoded)
				assert.Empty(t, said.String(), name)
				spec := wavSpec{tag: 3, channels: channels, rate: rate, bits: 64}
				scaled := make([]float64, len(track))
				full := math.Ldexp(1, bits-1)
				for i, x := range track {
					scaled[i] = math.Round(x*(full-1)) / full
				}
				want := mustDecode(t, wavFile(spec,
					encode(spec, interleave([][]float64{scaled, scaled}[:channels]...))))
				require.Equal(t, want.samples, got.samples, name)
			}
		}
	}
}

func TestDamagedFLACFrameIsSilent(t *testing.T) {
	track := clapTrain(24000, 1, 0.01)
	file := flacFile(t, 24000, 1, 16, track)
	want := mustDecode(t, file).samples
	hit := bytes.Clone(file)
	hit[len(hit)/2] ^= 1 // one bit: only the frame's checksum can tell
	res := mustDecode(t, hit)
	assert.Contains(t, res.codes(), "damaged")
	require.Len(t, res.samples, len(want))
	from := 3 * audio.Rate / 4
	assert.Equal(t, want[from:], res.samples[from:])
	zeros := 0
	for _, x := range res.samples {
		if x == 0 {
			zeros++
		}
	}
	assert.GreaterOrEqual(t, zeros, 500, "the damaged frame should be silent")
}

func TestFLACBehindATag(t *testing.T) {
	file := readFixture(t, "claps-22050.flac")
	want := mustDecode(t, file).samples
	tagged := append(append([]byte("ID3\x04\x00\x00\x00\x00\x02\x00"), make([]byte, 256)...), file...)
	assert.Equal(t, want, mustDecode(t, tagged).samples)
	assert.Equal(t, want, mustDecode(t, append(bytes.Clone(file), make([]byte, 128)...)).samples)
}
