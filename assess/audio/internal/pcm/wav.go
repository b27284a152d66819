package pcm

import (
	"cmp"
	"encoding/binary"
	"io"
	"strings"

	"clapladder.example/assess/audio/internal/codec"
)

// WAVE format tags and, for EXTENSIBLE, the tail that all sub-format GUIDs of
// this family share (Microsoft, mmreg.h / ksmedia.h).
const (
	tagPCM        = 0x0001
	tagFloat      = 0x0003
	tagALaw       = 0x0006
	tagMuLaw      = 0x0007
	tagExtensible = 0xfffe
	guidTail      = "\x00\x00\x00\x00\x10\x00\x80\x00\x00\xaa\x00\x38\x9b\x71"
)

var wavTagNames = map[uint16]string{
	0x0002: "Microsoft ADPCM", 0x0011: "IMA ADPCM", 0x0031: "GSM 6.10", 0x0050: "MPEG layer II",
	0x0055: "MP3", 0x00ff: "AAC", 0x0161: "Windows Media Audio", 0x674f: "Vorbis", 0xf1ac: "FLAC",
}

// wavFormat is what the fmt chunk says.
type wavFormat struct {
	tag      uint16
	channels int
	rate     int
	align    int // bytes in one frame
	bits     int
}

// OpenWAV reads the chunks up to the sound. It believes no size: chunks are
// skipped byte by byte, and a data chunk of size 0, of all ones, or larger than
// the file runs to the end of the file, as recorders that were killed and
// programs that write to a pipe leave it.
func OpenWAV(in *codec.Input, opts codec.Options) (*codec.Sound, error) {
	head := make([]byte, 12)
	if _, err := io.ReadFull(in, head); err != nil {
		return nil, codec.TruncatedHeader("wav")
	}
	var order binary.ByteOrder = binary.LittleEndian
	if string(head[:4]) == "RIFX" {
		order = binary.BigEndian
	}
	var format *wavFormat
	var longSize uint64 // of the data chunk, from RF64's ds64
	for {
		id, size, err := readChunkHeader(in, order)
		if err != nil {
			if format == nil {
				return nil, codec.TruncatedHeader("wav")
			}
			return nil, codec.Malformed("wav", "this WAV file has no sound in it (no data chunk)")
		}
		switch id {
		case "fmt ":
			if format, err = readWAVFormat(in, size, order); err != nil {
				return nil, err
			}
			continue
		case "ds64":
			b := make([]byte, 16)
			if size < 16 {
				break
			}
			if _, err := io.ReadFull(in, b); err != nil {
				return nil, codec.TruncatedHeader("wav")
			}
			longSize = order.Uint64(b[8:])
			size -= 16
		case "data":
			if format == nil {
				return nil, codec.Malformed("wav",
					"this WAV file does not say how its sound is coded (no fmt chunk)")
			}
			return newWAV(in, format, wavDataSize(in, size, longSize), order, opts)
		}
		if err := skipChunk(in, size); err != nil {
			return nil, codec.TruncatedHeader("wav")
		}
	}
}

func readChunkHeader(in *codec.Input, order binary.ByteOrder) (id string, size int64, err error) {
	var b [8]byte
	if _, err := io.ReadFull(in, b[:]); err != nil {
		return "", 0, err
	}
	return string(b[:4]), int64(order.Uint32(b[4:])), nil
}

// skipChunk passes over size bytes and the pad byte that follows an odd chunk,
// unless the writer forgot it and a chunk name stands there.
func skipChunk(in *codec.Input, size int64) error {
	if _, err := io.CopyN(io.Discard, in, size); err != nil {
		return err
	}
	if size%2 == 0 {
		return nil
	}
	b, _ := in.Peek(5)
	if len(b) == 0 || len(b) == 5 && b[0] != 0 && isChunkName(b[:4]) && !isChunkName(b[1:]) {
		return nil
	}
	_, err := in.Discard(1)
	return err
}

func isChunkName(b []byte) bool {
	for _, c := range b {
		if c < 0x20 || c > 0x7e {
			return false
		}
	}
	return true
}

// wavDataSize is the number of bytes of sound, -1 for "to the end of the file".
func wavDataSize(in *codec.Input, size int64, longSize uint64) int64 {
	const placeholder = 0x7ffff000 // what streaming writers put when they cannot go back
	switch {
	case size == 0xffffffff && longSize > 0 && longSize < 1<<62:
		return int64(longSize)
	case size >= placeholder && (size <= 0x7fffffff || size >= 0xfffff000):
		return -1
	case size == 0:
		// A true empty chunk is followed by nothing or by another chunk.
		b, _ := in.Peek(8)
		if len(b) == 8 && isChunkName(b[:4]) && strings.TrimSpace(string(b[:4])) != "" {
			return 0
		}
		return -1
	}
	return size
}

func readWAVFormat(in *codec.Input, size int64, order binary.ByteOrder) (*wavFormat, error) {
	if size < 14 || size > 1<<16 {
		return nil, codec.Malformed("wav",
			"this WAV file's description of its sound is damaged (fmt chunk of %d bytes)", size)
	}
	b := make([]byte, size)
	if _, err := io.ReadFull(in, b); err != nil {
		return nil, codec.TruncatedHeader("wav")
	}
	if size%2 == 1 {
		_, _ = in.Discard(1)
	}
	f := &wavFormat{
		tag:      order.Uint16(b),
		channels: int(order.Uint16(b[2:])),
		rate:     int(order.Uint32(b[4:])),
		align:    int(order.Uint16(b[12:])),
	}
	if size >= 16 {
		f.bits = int(order.Uint16(b[14:]))
	}
	if f.tag == tagExtensible {
		if size < 40 {
			return nil, codec.Malformed("wav",
				"this WAV file's description of its sound is damaged (short EXTENSIBLE header)")
		}
		f.tag = order.Uint16(b[24:])
		if string(b[26:40]) != guidTail && order == binary.LittleEndian {
			f.tag = tagExtensible // a sub-format of somebody's own
		}
	}
	return f, nil
}

func newWAV(in *codec.Input, f *wavFormat, size int64, order binary.ByteOrder,
	opts codec.Options,
) (*codec.Sound, error) {
	format, err := f.sampleFormat(order == binary.BigEndian)
	if err != nil {
		return nil, err
	}
	if err := codec.CheckShape("wav", f.rate, f.channels, opts); err != nil {
		return nil, err
	}
	s := &codec.Sound{Info: codec.Info{
		Format: "wav", Codec: format.codec(), SampleRate: f.rate,
		Channels: f.channels,
	}, Step: format.step(), Coarse: format.bytes == 1}
	s.Decoder = &pcmDecoder{in: in, format: format, channels: f.channels, left: size, damage: &s.Damage}
	return s, nil
}

// sampleFormat says how to read one sample, by tag and container size. Valid
// bits below the container's size sit at its top, so they need no attention.
func (f *wavFormat) sampleFormat(big bool) (sampleFormat, error) {
	if f.channels == 0 {
		return sampleFormat{}, codec.Malformed("wav", "this WAV file claims to have no channel")
	}
	size := 0
	if f.align%f.channels == 0 {
		size = f.align / f.channels
	}
	if size == 0 || size < (f.bits+7)/8 {
		size = (f.bits + 7) / 8
	}
	s := sampleFormat{bytes: size, big: big}
	switch {
	case f.bits == 0 && (f.tag == tagPCM || f.tag == tagFloat):
		return s, codec.Malformed("wav", "this WAV file claims 0 bits a sample, which cannot be")
	case f.tag == tagPCM && size == 1:
		s.kind = offsetInt
	case f.tag == tagPCM && size == 4 && f.bits == 24:
		s.kind = lowInt // or not: justify decides
	case f.tag == tagPCM && size >= 2 && size <= 4:
		s.kind = signedInt
	case f.tag == tagFloat && (size == 4 || size == 8):
		s.kind = floating
	case f.tag == tagMuLaw && size == 1:
		s.kind = muLaw
	case f.tag == tagALaw && size == 1:
		s.kind = aLaw
	case f.tag == tagPCM || f.tag == tagFloat || f.tag == tagMuLaw || f.tag == tagALaw:
		return s, codec.Malformed("wav",
			"this WAV file claims %d bits in %d bytes a sample, which cannot be", f.bits, size)
	default:
		name := cmp.Or(wavTagNames[f.tag], "an unusual codec")
		return s, &codec.Foreign{Container: codec.WAVFile, Codec: name}
	}
	return s, nil
}
