package audio_test

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"

	"github.com/go-audio/aiff"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// aiffFile builds AIFF, or AIFF-C if a coding is given.
func aiffFile(coding string, rate, channels, bits int, data []byte) []byte {
	be := binary.BigEndian
	chunk := func(id string, body []byte) []byte {
		b := be.AppendUint32([]byte(id), uint32(len(body)))
		b = append(b, body...)
		if len(body)%2 == 1 {
			b = append(b, 0)
		}
		return b
	}
	comm := be.AppendUint16(nil, uint16(channels))
	comm = be.AppendUint32(comm, uint32(len(data)/channels*8/bits))
	comm = be.AppendUint16(comm, uint16(bits))
	// 80-bit float: exponent so that the top bit of the mantissa is set.
	exponent := math.Ilogb(float64(rate))
	comm = be.AppendUint16(comm, uint16(16383+exponent))
	comm = be.AppendUint64(comm, uint64(rate)<<(63-exponent))
	form := "AIFF"
	body := []byte{}
	if coding != "" {
		form = "AIFC"
		comm = append(append(comm, coding...), "\x03any"...)
		body = append(body, chunk("FVER", []byte("\xa2\x80\x51\x40"))...)
	}
	body = append(body, chunk("COMM", comm)...)
	body = append(body, chunk("NAME", []byte("tides"))...)
	body = append(body, chunk("SSND", append(make([]byte, 8), data...))...)
	b := be.AppendUint32([]byte("FORM"), uint32(4+len(body)))
	return append(append(b, form...), body...)
}

func TestAIFFOfEveryCoding(t *testing.T) {
	sound := clapTrain(audio.Rate, 0.3, 0.01)
	be := binary.BigEndian
	for name, test := range map[string]struct {
		coding    string
		bits      int
		encode    func(x float64) []byte
		tolerance float64
	}{
		"8 bits": {"", 8, func(x float64) []byte { return []byte{byte(int8(math.Round(x * 127)))} }, 0.01},
		"16 bits": {"", 16, func(x float64) []byte {
			return be.AppendUint16(nil,
				uint16(int16(math.Round(x*32767))))
		}, 1e-4},
		"24 bits": {"NONE", 24, func(x float64) []byte {
			return be.AppendUint32(nil,
				uint32(int32(math.Round(x*8388607))))[1:]
		}, 1e-6},
		"32 bits": {"in32", 32, func(x float64) []byte {
			return be.AppendUint32(nil,
				uint32(int32(math.Round(x*2147483647))))
		}, 1e-6},
		"little-endian": {"sowt", 16, func(x float64) []byte {
			return binary.LittleEndian.AppendUint16(nil, uint16(int16(math.Round(x*32767))))
		}, 1e-4},
		"offset": {"raw ", 8, func(x float64) []byte { return []byte{byte(128 + math.Round(x*127))} }, 0.01},
		"float": {"fl32", 32, func(x float64) []byte {
			return be.AppendUint32(nil,
				math.Float32bits(float32(x)))
		}, 0},
		"double": {"fl64", 64, func(x float64) []byte {
			return be.AppendUint64(nil,
				math.Float64bits(x))
		}, 1e-7},
		"mu-law": {"ulaw", 8, func(x float64) []byte { return []byte{muLaw(x)} }, 0.02},
		"A-law":  {"alaw", 8, func(x float64) []byte { return []byte{aLaw(x)} }, 0.02},
	} {
		t.Run(name, func(t *testing.T) {
			var data []byte
			for _, x := range sound {
				data = append(data, test.encode(x)...)
			}
			file := aiffFile(test.coding, audio.Rate, 1, test.bits, data)
			res := mustDecode(t, file)
			assert.Equal(t, "aiff", res.info.Format)
			require.Len(t, res.samples, len(sound))
			for i, x := range sound {
				require.InDelta(t, x, res.samples[i], test.tolerance+1e-7)
			}
			if test.coding != "" || test.bits == 8 {
				return
			}
			// go-audio/aiff as an independent reader of plain AIFF.
			buf, err := aiff.NewDecoder(bytes.NewReader(file)).FullPCMBuffer()
			require.NoError(t, err)
			require.Len(t, buf.Data, len(res.samples))
			for i, v := range buf.Data {
				require.InDelta(t, float64(v)/math.Ldexp(1, test.bits-1), res.samples[i], 1e-9)
			}
		})
	}
}

func TestAIFFRates(t *testing.T) {
	for _, rate := range []int{8000, 11025, 22050, 44100, 48000, 96000, 192000} {
		data := make([]byte, 2*rate/10)
		data[0] = 1
		res := mustDecode(t, aiffFile("", rate, 1, 16, data))
		assert.Equal(t, rate, res.info.SampleRate)
		assert.InDelta(t, 0.1, res.info.Duration.Seconds(), 1e-4)
	}
}

func TestAIFFRefusals(t *testing.T) {
	good := aiffFile("", audio.Rate, 1, 16, make([]byte, 100))
	noComm := bytes.Clone(good)
	copy(noComm[12:], "JUNK")
	for name, test := range map[string]struct {
		file []byte
		text string
	}{
		"no COMM":  {noComm, "no COMM chunk"},
		"40 bits":  {aiffFile("", audio.Rate, 1, 40, make([]byte, 100)), "40 bits"},
		"rate 2":   {aiffFile("", 2, 1, 16, make([]byte, 100)), "2 samples a second"},
		"no sound": {aiffFile("", audio.Rate, 1, 16, nil), "no sound"},
	} {
		_, err := decode(t.Context(), bytes.NewReader(test.file), noFFmpeg)
		require.Error(t, err, name)
		assert.Contains(t, err.Error(), test.text, name)
	}
}
