package audio_test

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

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
