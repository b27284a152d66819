package flac

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio/internal/codec"
)

// sounds make each way of coding a subframe worthwhile. Values are of so many bits.
var sounds = map[string]func(i, channel int, full float64, r *rand.Rand) float64{
	"claps": func(i, channel int, full float64, r *rand.Rand) float64 {
		burst := math.Exp(-float64(i%9000) / 400)
		return full * (0.3*burst*r.NormFloat64() + 0.2*math.Sin(float64(i)*0.05+float64(channel)))
	},
	"silence":     func(i, channel int, full float64, r *rand.Rand) float64 { return 0 },
	"a constant":  func(i, channel int, full float64, r *rand.Rand) float64 { return float64(channel) - 3 },
	"noise":       func(i, channel int, full float64, r *rand.Rand) float64 { return full * (2*r.Float64() - 1) },
	"full square": func(i, channel int, full float64, r *rand.Rand) float64 { return full * float64(1-i/50%2*2) },
	"even": func(i, channel int, full float64, r *rand.Rand) float64 {
		return 16 * math.Round(full/40*math.Sin(float64(i)*0.03))
	},
	"opposite": func(i, channel int, full float64, r *rand.Rand) float64 {
		return full * float64(1-2*channel%4) * math.Sin(float64(i)*0.01)
	},
}

// TestSamplesAreThoseThatWereEncoded decodes what ffmpeg encoded, which loses nothing.
func TestSamplesAreThoseThatWereEncoded(t *testing.T) {
	program, err := exec.LookPath("ffmpeg")
	if err != nil {
		t.Skip("no ffmpeg to encode with")
	}
	for _, c := range []struct {
		rate, channels, bits int
		options              []string
	}{
		{16000, 1, 16, []string{"-compression_level", "0"}},
		{44100, 2, 16, nil},
		{44100, 2, 16, []string{"-compression_level", "12", "-exact_rice_parameters", "1"}},
		{44100, 2, 16, []string{"-ch_mode", "left_side"}},
		{24000, 2, 16, []string{"-ch_mode", "right_side", "-frame_size", "100"}},
		{176400, 2, 16, []string{"-ch_mode", "mid_side", "-lpc_type", "fixed"}},
		{48000, 6, 24, nil},
		{96000, 2, 24, []string{
			"-ch_mode", "mid_side", "-prediction_order_method", "search", "-max_prediction_order", "32",
		}},
		{48000, 1, 16, []string{"-frame_size", "65535"}},
	} {
		for name, sound := range sounds {
			if name != "claps" && c.options != nil {
				continue
			}
			t.Run(fmt.Sprint(name, c), func(t *testing.T) {
				t.Parallel()
				random := rand.New(rand.NewPCG(1, 2))
				full := math.Ldexp(1, c.bits-1) - 1
				var want []int32
				var raw []byte
				for i := range 140000 / c.channels {
					for channel := range c.channels {
						x := int32(math.Round(max(-full-1, min(full, sound(i, channel, full, random)))))
						want = append(want, x)
						raw = binary.LittleEndian.AppendUint32(raw, uint32(x)<<(32-c.bits))
					}
				}
				path := filepath.Join(t.TempDir(), "x.flac")
				arguments := []string{
					"-v", "error", "-f", "s32le", "-ar", fmt.Sprint(c.rate), "-ac", fmt.Sprint(c.channels), "-i", "-",
					"-c:a", "flac", "-strict", "-2", "-sample_fmt", map[int]string{16: "s16", 24: "s32"}[c.bits],
				}
				run := exec.CommandContext(t.Context(), program, append(append(arguments, c.options...), path)...)
				run.Stdin = bytes.NewReader(raw)
				said, err := run.CombinedOutput()
				require.NoError(t, err, "%s", said)
				file, err := os.ReadFile(path)
				require.NoError(t, err)
				require.Equal(t, want, decoded(t, file, c.bits))
			})
		}
	}
}

// decoded are the samples of a whole file, as numbers of so many bits.
func decoded(t *testing.T, file []byte, bits int) []int32 {
	t.Helper()
	opts := codec.Options{}.WithDefaults()
	// in small pieces, so that numbers lie across their edges
	in, err := codec.NewInput(t.Context(), struct{ io.Reader }{bytes.NewReader(file)}, opts.MaxBytes)
	require.NoError(t, err)
	defer in.Close()
	sound, err := openFLAC(in, opts)
	require.NoError(t, err)
	var all []int32
	block := make([]float32, 1200)
	for {
		n, err := sound.Decode(block)
		for _, x := range block[:n*sound.Channels] {
			all = append(all, int32(float64(x)*math.Ldexp(1, bits-1)))
		}
		if errors.Is(err, io.EOF) {
			assert.Zero(t, sound.Damage)
			return all
		}
		require.NoError(t, err)
	}
}
