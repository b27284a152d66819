package audio_test

import (
	"bytes"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/go-audio/wav"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// encode writes samples from -1 to 1 in the format of the spec; full scale is the
// largest value that the depth has.
func encode(s wavSpec, sound []float64) []byte {
	le := binary.LittleEndian
	size := s.container
	if size == 0 {
		size = (s.bits + 7) / 8
	}
	var b []byte
	for _, x := range sound {
		switch {
		case s.tag == 3 && size == 4:
			b = le.AppendUint32(b, math.Float32bits(float32(x)))
		case s.tag == 3:
			b = le.AppendUint64(b, math.Float64bits(x))
		case s.tag == 7:
			b = append(b, muLaw(x))
		case s.tag == 6:
			b = append(b, aLaw(x))
		case size == 1:
			b = append(b, byte(128+math.Round(math.Max(-128, math.Min(127, x*128)))))
		default:
			full := math.Ldexp(1, s.bits-1)
			v := int64(math.Round(math.Max(-full, math.Min(full-1, x*full)))) << (8*size - s.bits)
			for k := range size {
				b = append(b, byte(v>>(8*k)))
			}
		}
	}
	return b
}

// muLaw compresses by searching G.711's definition from the decoder's side: the
// code whose value 2^segment*(33+2*step)-33 on a 14-bit scale is nearest.
func muLaw(x float64) byte {
	return nearest(x, func(code byte) float64 {
		code = ^code
		v := float64((33+2*int(code&15))<<(code>>4&7)-33) / 8192
		if code&0x80 != 0 {
			v = -v
		}
		return v
	})
}

// aLaw: 2*step+1 in segment 0, 2^(segment-1)*(2*step+33) above, on a 13-bit scale.
func aLaw(x float64) byte {
	return nearest(x, func(code byte) float64 {
		code ^= 0x55
		step, segment := float64(code&15), int(code>>4&7)
		v := 2*step + 1
		if segment > 0 {
			v = math.Ldexp(2*step+33, segment-1)
		}
		if code&0x80 == 0 {
			v = -v
		}
		return v / 4096
	})
}

func nearest(x float64, value func(byte) float64) byte {
	best := byte(0)
	for c := range 256 {
		if math.Abs(value(byte(c))-x) < math.Abs(value(best)-x) {
			best = byte(c)
		}
	}
	return best
}

var wavSpecs = map[string]struct {
	wavSpec
	codec     string
	tolerance float64 // half a step at full scale, and what full scale falls short of 1
}{
	"8-bit unsigned":        {wavSpec{tag: 1, bits: 8}, "pcm_u8", 1.0 / 128},
	"16-bit":                {wavSpec{tag: 1, bits: 16}, "pcm_s16le", 1.0 / 32768},
	"24-bit":                {wavSpec{tag: 1, bits: 24}, "pcm_s24le", 1e-6},
	"24-bit in 4 bytes":     {wavSpec{tag: 1, bits: 24, container: 4}, "pcm_s24le", 1e-6},
	"32-bit":                {wavSpec{tag: 1, bits: 32}, "pcm_s32le", 1e-6},
	"20-bit in 3 bytes":     {wavSpec{tag: 1, bits: 20, container: 3}, "pcm_s24le", 1e-5},
	"float":                 {wavSpec{tag: 3, bits: 32}, "pcm_f32le", 0},
	"double":                {wavSpec{tag: 3, bits: 64}, "pcm_f64le", 1e-7},
	"mu-law":                {wavSpec{tag: 7, bits: 8}, "pcm_mulaw", 1.0 / 32},
	"A-law":                 {wavSpec{tag: 6, bits: 8}, "pcm_alaw", 1.0 / 32},
	"extensible 16-bit":     {wavSpec{tag: 1, bits: 16, extensible: true}, "pcm_s16le", 1.0 / 32768},
	"extensible 24 in 32":   {wavSpec{tag: 1, bits: 24, container: 4, extensible: true}, "pcm_s32le", 1e-6},
	"extensible float":      {wavSpec{tag: 3, bits: 32, extensible: true}, "pcm_f32le", 0},
	"extensible mu-law":     {wavSpec{tag: 7, bits: 8, extensible: true}, "pcm_mulaw", 1.0 / 32},
	"extensible 8-bit":      {wavSpec{tag: 1, bits: 8, extensible: true}, "pcm_u8", 1.0 / 128},
	"extensible 32-bit int": {wavSpec{tag: 1, bits: 32, extensible: true}, "pcm_s32le", 1e-6},
}

func TestFullScaleSquareWaveIsOneAtEveryDepth(t *testing.T) {
	square := make([]float64, 4000)
	for i := range square {
		square[i] = 1 - 2*float64(i/40%2)
	}
	for name, spec := range wavSpecs {
		t.Run(name, func(t *testing.T) {
			spec.channels, spec.rate = 1, audio.Rate
			res := mustDecode(t, wavFile(spec.wavSpec, encode(spec.wavSpec, square)))
			require.Len(t, res.samples, len(square))
			for i, x := range res.samples {
				require.InDelta(t, square[i], x, spec.tolerance+1e-9, "sample %d", i)
			}
		})
	}
}

func TestEveryDepthAndLayoutDecodesTheSameSound(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for name, spec := range wavSpecs {
		for _, channels := range []int{1, 2, 3, 8} {
			sound := make([]float64, 3000*channels)
			for i := range sound {
				sound[i] = math.Max(-1, math.Min(0.99, 0.3*rng.NormFloat64()))
			}
			spec.channels, spec.rate = channels, audio.Rate
			res := mustDecode(t, wavFile(spec.wavSpec, encode(spec.wavSpec, sound)))
			require.Len(t, res.samples, 3000, name)
			assert.Equal(t, spec.codec, res.info.Codec, name)
			assert.Equal(t, channels, res.info.Channels, name)
			worst := 0.0
			for i, got := range res.samples {
				want := 0.0
				for _, x := range sound[i*channels : (i+1)*channels] {
					want += x / float64(channels)
				}
				worst = math.Max(worst, math.Abs(want-float64(got)))
			}
			assert.LessOrEqual(t, worst, spec.tolerance+2e-7, "%s, %d channels", name, channels)
		}
	}
}

func TestAnalysisRateComesThroughBitForBit(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	sound := make([]float64, 50000)
	for i := range sound {
		sound[i] = 2*rng.Float64() - 1
	}
	data := pcm16(sound)
	res := mustDecode(t, wavFile(wavSpec{tag: 1, channels: 1, rate: audio.Rate, bits: 16}, data))
	require.Len(t, res.samples, len(sound))
	for i, x := range res.samples {
		require.Equal(t, float32(int16(binary.LittleEndian.Uint16(data[2*i:])))/32768, x, "sample %d", i)
	}
}

// go-audio/wav decodes plain integer PCM right, so it is an independent reader of
// the same bytes.
func TestAgreesWithGoAudioOnIntegerPCM(t *testing.T) {
	sound := clapTrain(audio.Rate, 1, 0.01)
	for name, spec := range wavSpecs {
		if spec.tag != 1 || spec.bits%8 != 0 || spec.bits == 24 && spec.container == 4 {
			continue
		}
		t.Run(name, func(t *testing.T) {
			spec.channels, spec.rate = 1, audio.Rate
			file := wavFile(spec.wavSpec, encode(spec.wavSpec, sound))
			buf, err := wav.NewDecoder(bytes.NewReader(file)).FullPCMBuffer()
			require.NoError(t, err)
			got := mustDecode(t, file).samples
			require.Len(t, got, len(buf.Data))
			middle := 0
			if spec.bits == 8 {
				middle = 128
			}
			for i, v := range buf.Data {
				require.InDelta(t, float64(v-middle)/math.Ldexp(1, spec.bits-1), got[i], 1e-7)
			}
		})
	}
}

func TestBigEndianWAV(t *testing.T) {
	spec := wavSpec{tag: 1, channels: 2, rate: audio.Rate, bits: 16}
	file := wavFile(spec, pcm16(interleave(clapTrain(audio.Rate, 0.2, 0), clapTrain(audio.Rate, 0.2, 0))))
	want := mustDecode(t, file).samples
	big := []byte("RIFX")
	swap := func(n int, b []byte) {
		for i := n - 1; i >= 0; i-- {
			big = append(big, b[i])
		}
	}
	swap(4, file[4:])
	big = append(big, file[8:16]...)
	swap(4, file[16:])
	for _, field := range []int{20, 22} {
		swap(2, file[field:])
	}
	swap(4, file[24:])
	swap(4, file[28:])
	swap(2, file[32:])
	swap(2, file[34:])
	big = append(big, file[36:40]...)
	swap(4, file[40:])
	for i := 44; i < len(file); i += 2 {
		swap(2, file[i:])
	}
	res := mustDecode(t, big)
	assert.Equal(t, want, res.samples)
	assert.Equal(t, "pcm_s16be", res.info.Codec)
}
