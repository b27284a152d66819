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

func TestWAVChunksInAnyOrder(t *testing.T) {
	spec := wavSpec{tag: 1, channels: 1, rate: audio.Rate, bits: 16}
	sound := clapTrain(audio.Rate, 0.5, 0.01)
	data := pcm16(sound)
	want := mustDecode(t, wavFile(spec, data)).samples
	list := chunk("LIST", []byte("INFOISFT\x05\x00\x00\x00abcde\x00"))
	le := binary.LittleEndian
	sized := func(size uint32) []byte {
		return append(append([]byte("data"), le.AppendUint32(nil, size)...), data...)
	}
	noPad := append([]byte("junk\x03\x00\x00\x00"), "abc"...)
	rf64 := func() []byte {
		ds := chunk("ds64", append(le.AppendUint64(le.AppendUint64(nil, 0), uint64(len(data))),
			make([]byte, 12)...))
		f := riff(ds, fmtChunk(spec), sized(0xffffffff), list)
		return append([]byte("RF64\xff\xff\xff\xff"), f[8:]...)
	}
	for name, file := range map[string][]byte{
		"LIST before fmt": riff(list, fmtChunk(spec), chunk("data", data)),
		"LIST between":    riff(fmtChunk(spec), list, chunk("data", data)),
		"LIST behind":     riff(fmtChunk(spec), chunk("data", data), list),
		"odd chunk with pad byte": riff(chunk("junk", []byte("abc")), fmtChunk(spec),
			chunk("data", data)),
		"odd chunk without pad byte": riff(noPad, fmtChunk(spec), chunk("data", data)),
		"empty chunk":                riff(chunk("fact", nil), fmtChunk(spec), chunk("data", data)),
		"18-byte fmt": riff(chunk("fmt ", append(fmtChunk(spec)[8:], 0, 0)),
			chunk("data", data)),
		"data size 0":                   riff(fmtChunk(spec), sized(0)),
		"data size all ones":            riff(fmtChunk(spec), sized(0xffffffff)),
		"data size 0x7fffffff":          riff(fmtChunk(spec), sized(0x7fffffff)),
		"RIFF size wrong":               append([]byte("RIFF\x01\x00\x00\x00"), wavFile(spec, data)[8:]...),
		"one byte too many at the end":  append(riff(fmtChunk(spec), sized(0)), 7),
		"RF64, sound before other":      rf64(),
		"bytes behind the sound":        append(wavFile(spec, data), "trailing"...),
		"block align 0":                 zeroAlign(wavFile(spec, data)),
		"data size 0 behind a LIST":     riff(list, fmtChunk(spec), sized(0)),
		"many chunks before the format": riff(bytes.Repeat(list, 500), fmtChunk(spec), chunk("data", data)),
	} {
		t.Run(name, func(t *testing.T) {
			res := mustDecode(t, file)
			assert.Equal(t, want, res.samples)
			assert.Empty(t, res.warnings)
			assert.InDelta(t, 0.5, res.info.Duration.Seconds(), 1e-9)
		})
	}
}

func zeroAlign(file []byte) []byte {
	file = bytes.Clone(file)
	file[32], file[33] = 0, 0
	return file
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

func TestTwentyFourBitsInTheLowBytes(t *testing.T) {
	// Some recorders put 24 bits into the low end of 4 bytes.
	sound := clapTrain(audio.Rate, 0.5, 0.01)
	var data []byte
	for _, x := range sound {
		data = binary.LittleEndian.AppendUint32(data, uint32(int32(math.Round(x*(1<<23-1)))))
	}
	res := mustDecode(t, wavFile(wavSpec{
		tag: 1, channels: 1, rate: audio.Rate, bits: 24,
		container: 4,
	}, data))
	require.Len(t, res.samples, len(sound))
	for i, x := range res.samples {
		require.InDelta(t, sound[i], x, 1e-6)
	}
}

func TestCutWAVGivesWhatIsThereAndSaysSo(t *testing.T) {
	spec := wavSpec{tag: 1, channels: 2, rate: audio.Rate, bits: 16}
	track := clapTrain(audio.Rate, 1, 0.01)
	file := wavFile(spec, pcm16(interleave(track, track)))
	want := mustDecode(t, file).samples
	for _, cut := range []int{1, 3, 4, 1000, 30001} {
		res := mustDecode(t, file[:len(file)-cut])
		assert.Equal(t, want[:len(want)-(cut+3)/4], res.samples, "cut by %d", cut)
		assert.Equal(t, []string{"cut-short"}, res.codes(), "cut by %d", cut)
	}
}

func TestFloatWAVWithImpossibleValues(t *testing.T) {
	values := []float64{0.5, math.NaN(), math.Inf(1), math.Inf(-1), 1e30, -0.25}
	spec := wavSpec{tag: 3, channels: 1, rate: audio.Rate, bits: 32}
	res := mustDecode(t, wavFile(spec, encode(spec, values)))
	assert.Equal(t, []float32{0.5, 0, 1 << 16, -1 << 16, 1 << 16, -0.25}, res.samples)
}

func TestWAVRefusals(t *testing.T) {
	spec := wavSpec{tag: 1, channels: 1, rate: audio.Rate, bits: 16}
	data := pcm16(clapTrain(audio.Rate, 0.1, 0))
	with := func(change func(*wavSpec)) []byte {
		s := spec
		change(&s)
		return wavFile(s, data)
	}
	huge := riff(append([]byte("LIST"), 0xf0, 0xff, 0xff, 0xff), fmtChunk(spec), chunk("data", data))
	for name, test := range map[string]struct {
		file []byte
		kind audio.Kind
		text string
	}{
		"only a header": {wavFile(spec, nil), "empty", "holds no sound"},
		"empty data, LIST": {riff(fmtChunk(spec), chunk("data", nil),
			chunk("LIST", make([]byte, 100))), "empty", "holds no sound"},
		"no fmt":  {riff(chunk("data", data)), "malformed", "no fmt chunk"},
		"no data": {riff(fmtChunk(spec)), "malformed", "no data chunk"},
		"cut in the header": {
			wavFile(spec, data)[:30], "malformed",
			"ends before its sound begins",
		},
		"LIST of 4 GB": {huge, "malformed", "ends before its sound begins"},
		"rate 0": {
			with(func(s *wavSpec) { s.rate = 0 }), "malformed",
			"0 samples a second",
		},
		"rate 400,000": {
			with(func(s *wavSpec) { s.rate = 400000 }), "malformed",
			"400000 samples a second",
		},
		"no channel": {with(func(s *wavSpec) { s.channels = 0 }), "malformed", "no channel"},
		"65,535 channels": {
			with(func(s *wavSpec) { s.channels = 65535 }), "limit",
			"max-channels",
		},
		"40 bits":      {with(func(s *wavSpec) { s.bits = 40 }), "malformed", "40 bits"},
		"16-bit float": {with(func(s *wavSpec) { s.tag = 3 }), "malformed", "16 bits"},
		"ADPCM": {
			with(func(s *wavSpec) { s.tag = 2 }), "unsupported",
			"ffmpeg -i IN -ac 1 OUT.wav",
		},
		"a GUID of one's own": {with(func(s *wavSpec) {
			s.extensible, s.guid = true,
				"fourteen bytes"
		}), "unsupported", "ffmpeg -i IN"},
		"less than a frame": {wavFile(spec, []byte{1}), "empty", "holds no sound"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := decode(t.Context(), bytes.NewReader(test.file), noFFmpeg)
			require.Error(t, err)
			assert.Equal(t, test.kind, asError(t, err).Kind, err)
			assert.Contains(t, err.Error(), test.text)
			assert.NotContains(t, err.Error(), "\n")
		})
	}
}
