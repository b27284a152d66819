package audio_test

import (
	"bytes"
	"encoding/binary"
	"io"
	"testing"

	"github.com/abema/go-mp4"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// box finds a box by its path from the top and returns its content in place.
func box(t *testing.T, b []byte, path ...string) []byte {
	t.Helper()
	for len(b) >= 8 {
		n := int(binary.BigEndian.Uint32(b))
		if string(b[4:8]) == path[0] {
			if len(path) == 1 {
				return b[8:n]
			}
			return box(t, b[8:n], path[1:]...)
		}
		b = b[n:]
	}
	t.Fatalf("no box %v", path)
	return nil
}

var tablePath = []string{"moov", "trak", "mdia", "minf", "stbl"}

func inTable(name string) []string { return append(append([]string(nil), tablePath...), name) }

// go-mp4 reads the same tables independently: as many coded frames of 1,024
// samples as it sees, less what its edit list leaves out, must come out.
func TestMP4LengthAgreesWithGoMP4(t *testing.T) {
	for _, name := range []string{"claps.m4a", "claps.3gp", "claps-stereo.mov"} {
		file := readFixture(t, name)
		info, err := mp4.Probe(bytes.NewReader(file))
		require.NoError(t, err)
		track := info.Tracks[0]
		res := mustDecode(t, file)
		assert.Equal(t, res.info.SampleRate, int(track.Timescale), name)
		require.Len(t, track.EditList, 1, name)
		edit := track.EditList[0]
		all := int64(len(track.Samples)) * 1024
		frames := int64(float64(edit.SegmentDuration) / float64(info.Timescale) *
			float64(res.info.SampleRate))
		assert.LessOrEqual(t, frames, all-edit.MediaTime, name)
		assert.InDelta(t, float64(frames)/float64(res.info.SampleRate), res.info.Duration.Seconds(),
			1e-4, name)
	}
}

func TestMP4EditList(t *testing.T) {
	file := readFixture(t, "claps.m4a")
	want := mustDecode(t, file).samples
	edit := func(duration, mediaTime uint32) []float32 {
		b := bytes.Clone(file)
		elst := box(t, b, "moov", "trak", "edts", "elst")
		binary.BigEndian.PutUint32(elst[8:], duration)
		binary.BigEndian.PutUint32(elst[12:], mediaTime)
		return mustDecode(t, b).samples
	}
	scale := int(binary.BigEndian.Uint32(box(t, file, "moov", "mvhd")[12:]))
	t.Run("start later", func(t *testing.T) {
		got := edit(uint32(scale), 1024+22050)
		require.Len(t, got, audio.Rate)
		ms, _ := lag(got, want[audio.Rate/2:])
		assert.InDelta(t, 0, ms, 0.05)
	})
	t.Run("no length", func(t *testing.T) {
		got := edit(0, 1024)
		assert.Greater(t, len(got), len(want)-10)
		assert.Equal(t, want[:len(want)-100], got[:len(want)-100])
	})
	t.Run("an empty edit is a delay of no concern", func(t *testing.T) {
		got := edit(uint32(scale), 0xffffffff)
		ms, _ := lag(got, want)
		assert.InDelta(t, 0, ms, 0.05) // the usual priming is skipped
	})
	t.Run("without one the usual priming is skipped", func(t *testing.T) {
		b := bytes.Clone(file)
		i := bytes.Index(b, []byte("edts"))
		copy(b[i:], "free")
		got := mustDecode(t, b).samples
		ms, _ := lag(got, want)
		assert.InDelta(t, 0, ms, 0.05)
	})
}

func TestUnfinishedMP4(t *testing.T) {
	file := readFixture(t, "claps.m4a")
	cut := file[:bytes.Index(file, []byte("moov"))-4]
	for _, r := range []io.Reader{bytes.NewReader(cut), &slowReader{cut, 100}} {
		_, err := decode(t.Context(), r, noFFmpeg)
		e := asError(t, err)
		assert.EqualValues(t, "malformed", e.Kind)
		assert.Contains(t, e.Error(), "never finished")
	}
}

func TestDamagedMP4Frames(t *testing.T) {
	file := readFixture(t, "claps.m4a")
	want := mustDecode(t, file).samples
	hit := bytes.Clone(file)
	mdat := bytes.Index(hit, []byte("mdat"))
	for i := range 300 {
		hit[mdat+2000+i] ^= 0x77
	}
	res := mustDecode(t, hit)
	assert.Contains(t, res.codes(), "damaged")
	require.Len(t, res.samples, len(want))
	from := audio.Rate
	ms, r := lag(res.samples[from:], want[from:])
	assert.InDelta(t, 0, ms, 0.02)
	assert.Greater(t, r, 0.99)
}

func TestMP4LyingTablesCostNoMemory(t *testing.T) {
	file := readFixture(t, "claps.m4a")
	want := mustDecode(t, file).samples
	for _, name := range []string{"stsz", "stco", "stsc", "stts"} {
		for _, count := range []uint32{0, 1 << 20, 0x7fffffff, 0xffffffff} {
			b := bytes.Clone(file)
			table := box(t, b, inTable(name)...)
			at := 4
			if name == "stsz" {
				at = 8
			}
			binary.BigEndian.PutUint32(table[at:], count)
			allocated := allocatedBytes(func() { _, _ = decode(t.Context(), bytes.NewReader(b), noFFmpeg) })
			assert.Less(t, allocated, uint64(8<<20), "%s claims %d", name, count)
			if count == 1<<20 { // more than there is, but not absurd: what is there counts
				assert.Equal(t, want, mustDecode(t, b).samples, "%s claims %d", name, count)
			}
		}
	}
}

func TestMP4ThatIsNotPlainAAC(t *testing.T) {
	file := readFixture(t, "claps.m4a")
	config := func(b []byte) []byte { // the two bytes of AudioSpecificConfig
		stsd := box(t, b, inTable("stsd")...)
		i := bytes.Index(stsd, []byte("\x05\x80\x80\x80"))
		require.Positive(t, i)
		return stsd[i+5:]
	}
	for name, test := range map[string]struct {
		change func(b []byte)
		text   string
	}{
		"HE-AAC": {func(b []byte) { c := config(b); c[0] = c[0]&7 | 5<<3 }, "AAC other than AAC-LC"},
		"Apple Lossless": {
			func(b []byte) { copy(box(t, b, inTable("stsd")...)[12:], "alac") },
			"Apple Lossless",
		},
		"AMR": {func(b []byte) { copy(box(t, b, inTable("stsd")...)[12:], "samr") }, "AMR"},
		"protected": {
			func(b []byte) { copy(box(t, b, inTable("stsd")...)[12:], "enca") },
			"copy-protected",
		},
		"only a picture": {func(b []byte) {
			copy(box(t, b, "moov", "trak", "mdia", "hdlr")[8:],
				"vide")
		}, "no sound track"},
	} {
		t.Run(name, func(t *testing.T) {
			b := bytes.Clone(file)
			test.change(b)
			_, err := decode(t.Context(), bytes.NewReader(b), noFFmpeg)
			require.Error(t, err)
			assert.Contains(t, err.Error(), test.text)
		})
	}
}

func TestMP4InFragmentsIsRecognised(t *testing.T) {
	b := bytes.Clone(readFixture(t, "claps.m4a"))
	binary.BigEndian.PutUint32(box(t, b, inTable("stsz")...)[8:], 0)
	b = append(b, 0, 0, 0, 8, 'm', 'o', 'o', 'f')
	_, err := decode(t.Context(), bytes.NewReader(b), noFFmpeg)
	e := asError(t, err)
	assert.EqualValues(t, "unsupported", e.Kind)
	assert.Contains(t, e.Error(), "fragments")
}
