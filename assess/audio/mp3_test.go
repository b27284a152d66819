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

// mp3FrameSize is the length of an MPEG-1 or MPEG-2 Layer III frame by its header,
// written down here apart from the decoder: 144 (or 72) * bit rate / rate + padding.
func mp3FrameSize(b []byte) int {
	h := binary.BigEndian.Uint32(b)
	kbit1 := [16]int{0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320, 0}
	kbit2 := [16]int{0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160, 0}
	rate := [4]int{44100, 48000, 32000, 0}[h>>10&3]
	if h>>19&3 == 3 {
		return 144000*kbit1[h>>12&15]/rate + int(h>>9&1)
	}
	return 72000*kbit2[h>>12&15]/(rate/2) + int(h>>9&1)
}

// mp3Split returns the frames of a clean file without its tag.
func mp3Split(t *testing.T, file []byte) [][]byte {
	t.Helper()
	if bytes.HasPrefix(file, []byte("ID3")) {
		file = file[10+int(file[8])<<7+int(file[9]):]
	}
	var frames [][]byte
	for len(file) > 4 {
		require.Equal(t, byte(0xff), file[0])
		n := mp3FrameSize(file)
		frames = append(frames, file[:n])
		file = file[n:]
	}
	return frames
}

func TestMP3WithoutInformationFrameAssumesTheUsualDelay(t *testing.T) {
	for _, name := range []string{"claps-44100.mp3", "claps-22050.mp3"} {
		file := readFixture(t, name)
		frames := mp3Split(t, file)
		want := mustDecode(t, file).samples
		res := mustDecode(t, bytes.Join(frames[1:], nil))
		ms, r := lag(res.samples, want)
		// These files came from LAME, whose delay is the one assumed.
		assert.InDelta(t, 0, ms, 0.02, name)
		assert.Greater(t, r, 0.999, name)
	}
}

func TestMP3TagsAndJunkAreNoSound(t *testing.T) {
	file := readFixture(t, "claps-44100.mp3")
	want := mustDecode(t, file)
	id3 := append([]byte("ID3\x04\x00\x00\x00\x00\x02\x00"), make([]byte, 256)...)
	picture := append([]byte("ID3\x03\x00\x00\x00\x05\x00\x00"),
		bytes.Repeat([]byte{0xff, 0xfb, 0x90}, 5*16384/3+1)[:5*16384]...)
	id1 := append([]byte("TAG"), make([]byte, 125)...)
	ape := append([]byte("APETAGEX\xd0\x07\x00\x00"), make([]byte, 20)...)
	for name, parts := range map[string][][]byte{
		"ID3v2 in front":         {id3, file},
		"a long ID3v2":           {picture, file},
		"two ID3v2":              {id3, id3, file},
		"ID3v1 behind":           {file, id1},
		"APE and ID3v1 behind":   {file, ape, id1},
		"zeros in front":         {make([]byte, 1000), file},
		"zeros behind":           {file, make([]byte, 1000)},
		"ID3v2 and zeros before": {id3, make([]byte, 500), file},
	} {
		res := mustDecode(t, bytes.Join(parts, nil))
		assert.Equal(t, want.samples, res.samples, name)
		assert.Empty(t, res.codes(), name)
	}
}

func TestMP3CutOutOfTheMiddle(t *testing.T) {
	// Its first frames point back to bits that are gone: silence, not noise.
	for _, name := range []string{"claps-44100.mp3", "claps-22050.mp3", "claps-24000-stereo.mp3"} {
		file := readFixture(t, name)
		frames := mp3Split(t, file)
		whole := mustDecode(t, bytes.Join(frames[1:], nil))
		const drop = 20
		res := mustDecode(t, bytes.Join(frames[1+drop:], nil))
		frame := map[int]int{44100: 1152, 24000: 576, 22050: 576}[res.info.SampleRate]
		gone := int(math.Round(float64(drop*frame) * audio.Rate / float64(res.info.SampleRate)))
		want := whole.samples[gone:]
		settled := audio.Rate / 5
		ms, r := lag(res.samples[settled:], want[settled:])
		assert.InDelta(t, 0, ms, 0.05, name)
		assert.Greater(t, r, 0.98, name)
		loudest := func(x []float32) (m float64) {
			for _, v := range x {
				m = math.Max(m, math.Abs(float64(v)))
			}
			return m
		}
		assert.LessOrEqual(t, loudest(res.samples), loudest(whole.samples)+0.03, "%s: noise at the cut", name)
		assert.NotContains(t, res.codes(), "damaged", name)
	}
}

func TestMP3ByteLossCostsNoTime(t *testing.T) {
	for _, name := range []string{"claps-44100.mp3", "claps-22050.mp3"} {
		file := readFixture(t, name)
		frames := mp3Split(t, file)
		want := mustDecode(t, file).samples
		// Overwrite three whole frames with something else.
		broken := append([][]byte(nil), frames...)
		for i := 10; i < 13; i++ {
			broken[i] = bytes.Repeat([]byte{0x55}, len(frames[i]))
		}
		res := mustDecode(t, bytes.Join(broken, nil))
		assert.Contains(t, res.codes(), "damaged", name)
		from := audio.Rate
		ms, r := lag(res.samples[from:], want[from:])
		assert.InDelta(t, 0, ms, 0.05, name)
		assert.Greater(t, r, 0.98, name)
	}
}

func TestMPEG25NeedsNoOtherProgram(t *testing.T) {
	// The header of an 11,025 Hz mono file at 32 kbit/s, repeated: of no bits, silence.
	frame := append([]byte{0xff, 0xe3, 0x40, 0xc0}, make([]byte, 72*32000/11025-4)...)
	res := mustDecode(t, bytes.Repeat(frame, 50))
	assert.Equal(t, 11025, res.info.SampleRate)
	assert.Equal(t, make([]float32, len(res.samples)), res.samples)
	assert.InDelta(t, (50*576-529-576)/11025.0, res.info.Duration.Seconds(), 0.001)
}
