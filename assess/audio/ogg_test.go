package audio_test

import (
	"bytes"
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
)

// oggPages splits a clean Ogg file into its pages.
func oggPages(t *testing.T, file []byte) [][]byte {
	t.Helper()
	var pages [][]byte
	for len(file) > 0 {
		require.True(t, bytes.HasPrefix(file, []byte("OggS")))
		n := 27 + int(file[26])
		for _, s := range file[27:n] {
			n += int(s)
		}
		pages = append(pages, bytes.Clone(file[:n]))
		file = file[n:]
	}
	return pages
}

// seal puts the right checksum into a page: bit by bit, unlike the reader's table.
func seal(page []byte) []byte {
	clear(page[22:26])
	var crc uint32
	for _, b := range page {
		crc ^= uint32(b) << 24
		for range 8 {
			if crc&(1<<31) != 0 {
				crc = crc<<1 ^ 0x04c11db7
			} else {
				crc <<= 1
			}
		}
	}
	binary.LittleEndian.PutUint32(page[22:], crc)
	return page
}

func oggPage(flags byte, granule int64, serial, sequence uint32, body []byte) []byte {
	p := append([]byte("OggS\x00"), flags)
	p = binary.LittleEndian.AppendUint64(p, uint64(granule))
	p = binary.LittleEndian.AppendUint32(p, serial)
	p = binary.LittleEndian.AppendUint32(p, sequence)
	p = append(p, 0, 0, 0, 0)
	var table []byte
	for n := len(body); ; n -= 255 {
		table = append(table, byte(min(n, 255)))
		if n < 255 {
			break
		}
	}
	p = append(p, byte(len(table)))
	return seal(append(append(p, table...), body...))
}

var oggFixtures = []string{"claps-celt.opus", "claps-silk.opus", "claps.ogg"}

func TestOggPageLossIsFilledWithSilence(t *testing.T) {
	for _, name := range oggFixtures {
		t.Run(name, func(t *testing.T) {
			file := readFixture(t, name)
			pages := oggPages(t, file)
			want := mustDecode(t, file).samples
			lost := append(append([][]byte(nil), pages[:6]...), pages[8:]...)
			res := mustDecode(t, bytes.Join(lost, nil))
			assert.Contains(t, res.codes(), "damaged")
			assert.InDelta(t, len(want), len(res.samples), 4)
			from := audio.Rate
			ms, r := lag(res.samples[from:], want[from:])
			assert.InDelta(t, 0, ms, 0.1)
			assert.Greater(t, r, 0.98)
		})
	}
}

func TestOggWithAnotherStreamInside(t *testing.T) {
	// As in a video: pages of another stream between those of the sound.
	for _, name := range oggFixtures {
		file := readFixture(t, name)
		want := mustDecode(t, file)
		var mixed []byte
		mixed = append(mixed, oggPage(2, 0, 99, 0, []byte("\x80theora etc"))...)
		for i, p := range oggPages(t, file) {
			mixed = append(mixed, p...)
			mixed = append(mixed, oggPage(0, int64(i), 99, uint32(i+1), bytes.Repeat([]byte{1}, 600))...)
		}
		res := mustDecode(t, mixed)
		assert.Equal(t, want.samples, res.samples, name)
		assert.Empty(t, res.codes(), name)
	}
}

func TestOggStreamThatStartsLate(t *testing.T) {
	// A piece of a longer transmission: positions do not begin at zero.
	for _, name := range oggFixtures {
		file := readFixture(t, name)
		want := mustDecode(t, file)
		pages := oggPages(t, file)
		for _, p := range pages {
			if g := int64(binary.LittleEndian.Uint64(p[6:])); g > 0 {
				binary.LittleEndian.PutUint64(p[6:], uint64(g+48000*3600))
				seal(p)
			}
		}
		res := mustDecode(t, bytes.Join(pages, nil))
		assert.InDelta(t, len(want.samples), len(res.samples), 400, name)
		n := len(want.samples) - 400
		assert.Equal(t, want.samples[:n], res.samples[:n], name)
	}
}

func TestOggWithEmptyPages(t *testing.T) {
	for _, name := range oggFixtures {
		file := readFixture(t, name)
		want := mustDecode(t, file).samples
		pages := oggPages(t, file)
		serial := binary.LittleEndian.Uint32(pages[0][14:])
		var out []byte
		for i, p := range pages {
			binary.LittleEndian.PutUint32(p[18:], uint32(2*i))
			out = append(out, seal(p)...)
			empty := oggPage(0, -1, serial, uint32(2*i+1), nil)
			empty = append(empty[:26:26], 0) // no segment at all
			if i < len(pages)-1 {
				out = append(out, seal(empty)...)
			}
		}
		res := mustDecode(t, out)
		assert.Equal(t, want, res.samples, name)
		assert.Empty(t, res.codes(), name)
	}
}

func TestOggEndPositionCutsTheEnd(t *testing.T) {
	for _, name := range oggFixtures {
		file := readFixture(t, name)
		pages := oggPages(t, file)
		last := pages[len(pages)-1]
		granule := int64(binary.LittleEndian.Uint64(last[6:]))
		before := int64(binary.LittleEndian.Uint64(pages[len(pages)-2][6:]))
		whole := mustDecode(t, file).info
		cut := (granule - before) / 3
		require.Positive(t, cut)
		binary.LittleEndian.PutUint64(last[6:], uint64(granule-cut))
		seal(last)
		res := mustDecode(t, bytes.Join(pages, nil))
		want := whole.Duration.Seconds() - float64(cut)/float64(whole.SampleRate)
		assert.InDelta(t, want, res.info.Duration.Seconds(), 1e-6, name)
	}
}

func TestOggOtherCodecs(t *testing.T) {
	for name, test := range map[string]struct {
		head string
		text string
	}{
		"Speex":     {"Speex   1.2.1", "Speex in Ogg"},
		"FLAC":      {"\x7fFLAC\x01\x00", "FLAC in Ogg"},
		"something": {"whatever", "no sound of a known kind"},
		"Opus, five channels": {
			"OpusHead\x01\x05\x00\x00\x80\xbb\x00\x00\x00\x00\x01\x04\x01",
			"more than two channels",
		},
		"Opus of the future": {"OpusHead\x10\x01\x00\x00\x80\xbb\x00\x00\x00\x00\x00", "unknown version"},
	} {
		file := append(oggPage(2, 0, 1, 0, []byte(test.head)), oggPage(0, 0, 1, 1, []byte("comments"))...)
		_, err := decode(t.Context(), bytes.NewReader(file), noFFmpeg)
		require.Error(t, err, name)
		assert.Contains(t, err.Error(), test.text, name)
	}
}

func TestVorbisCodebooksThatLieCostNoMemory(t *testing.T) {
	file := readFixture(t, "claps.ogg")
	head := oggPages(t, file)[0]
	// four thousand million comments
	comments := "\x03vorbis" + "\x00\x00\x00\x00" + "\xff\xff\xff\xff" + "\x01"
	// One codebook: mark, dimensions 0xffff, entries 0xffffff, ordered, one length.
	var bits []byte
	at := 0
	put := func(v uint64, n int) {
		for i := range n {
			if at%8 == 0 {
				bits = append(bits, 0)
			}
			bits[at/8] |= byte(v>>i&1) << (at % 8)
			at++
		}
	}
	put(0, 8)
	put(0x564342, 24)
	put(0xffff, 16)
	put(0xffffff, 24)
	put(1, 1)
	put(0, 5)
	put(0xffffff, 24)
	put(2, 4)
	put(0, 64)
	put(15, 4)
	put(0, 1)
	setup := append([]byte("\x05vorbis"), bits...)
	evil := bytes.Join([][]byte{
		head,
		oggPage(0, 0, binary.LittleEndian.Uint32(head[14:]), 1, []byte(comments)),
		oggPage(0, 0, binary.LittleEndian.Uint32(head[14:]), 2, setup),
	}, nil)
	used := allocatedBytes(func() {
		_, err := decode(t.Context(), bytes.NewReader(evil), noFFmpeg)
		assert.EqualValues(t, "malformed", asError(t, err).Kind)
		assert.Contains(t, err.Error(), "codebook")
	})
	assert.Less(t, used, uint64(4<<20))
}
