package pcm

import (
	"encoding/binary"
	"io"
	"math"

	"clapladder.example/assess/audio/internal/codec"
)

// OpenAIFF reads AIFF and AIFF-C. Chunks are treated as in WAV files; the format
// must come before the sound, which every known writer does.
func OpenAIFF(in *codec.Input, opts codec.Options) (*codec.Sound, error) {
	head := make([]byte, 12)
	if _, err := io.ReadFull(in, head); err != nil {
		return nil, codec.TruncatedHeader("aiff")
	}
	var s *codec.Sound
	var format sampleFormat
	for {
		id, size, err := readChunkHeader(in, binary.BigEndian)
		if err != nil {
			return nil, codec.TruncatedHeader("aiff")
		}
		switch id {
		case "COMM":
			if s, format, err = readCOMM(in, size, string(head[8:12]) == "AIFC", opts); err != nil {
				return nil, err
			}
			continue
		case "SSND":
			if s == nil {
				return nil, codec.Malformed("aiff",
					"this AIFF file does not say how its sound is coded (no COMM chunk)")
			}
			var b [8]byte
			if _, err := io.ReadFull(in, b[:]); err != nil {
				return nil, codec.TruncatedHeader("aiff")
			}
			offset := int64(binary.BigEndian.Uint32(b[:]))
			if _, err := io.CopyN(io.Discard, in, offset); err != nil {
				return nil, codec.TruncatedHeader("aiff")
			}
			left := size - 8 - offset
			if left <= 0 {
				left = -1 // placeholder: to the end of the file
			}
			s.Decoder = &pcmDecoder{
				in: in, format: format, channels: s.Channels, left: left,
				damage: &s.Damage,
			}
			return s, nil
		}
		if err := skipChunk(in, size); err != nil {
			return nil, codec.TruncatedHeader("aiff")
		}
	}
}

func readCOMM(in *codec.Input, size int64, compressed bool, opts codec.Options) (*codec.Sound,
	sampleFormat, error,
) {
	var format sampleFormat
	if size < 18 || compressed && size < 22 || size > 1<<16 {
		return nil, format, codec.Malformed("aiff",
			"this AIFF file's description of its sound is damaged (COMM chunk of %d bytes)", size)
	}
	b := make([]byte, size+size%2)
	if _, err := io.ReadFull(in, b); err != nil {
		return nil, format, codec.TruncatedHeader("aiff")
	}
	channels := int(binary.BigEndian.Uint16(b))
	bits := int(binary.BigEndian.Uint16(b[6:]))
	rate := extended(b[8:18])
	coding := "NONE"
	if compressed {
		coding = string(b[18:22])
	}
	format = sampleFormat{kind: signedInt, bytes: (bits + 7) / 8, big: true}
	switch coding {
	case "NONE", "twos", "in24", "in32":
	case "sowt":
		format.big = false
	case "raw ":
		format.kind = offsetInt
	case "fl32", "FL32":
		format = sampleFormat{kind: floating, bytes: 4, big: true}
	case "fl64", "FL64":
		format = sampleFormat{kind: floating, bytes: 8, big: true}
	case "ulaw", "ULAW":
		format = sampleFormat{kind: muLaw, bytes: 1}
	case "alaw", "ALAW":
		format = sampleFormat{kind: aLaw, bytes: 1}
	default:
		return nil, format, &codec.Foreign{Container: codec.AIFFFile, Codec: "an unusual codec"}
	}
	if format.kind == signedInt && (format.bytes < 1 || format.bytes > 4) ||
		format.kind == offsetInt && format.bytes != 1 {
		return nil, format, codec.Malformed("aiff",
			"this AIFF file claims %d bits a sample, which cannot be", bits)
	}
	if err := codec.CheckShape("aiff", rate, channels, opts); err != nil {
		return nil, format, err
	}
	s := &codec.Sound{Info: codec.Info{
		Format: "aiff", Codec: format.codec(), SampleRate: rate,
		Channels: channels,
	}, Step: format.step(), Coarse: format.bytes == 1}
	return s, format, nil
}

// extended reads the 80-bit float in which AIFF keeps the sample rate, rounded to
// whole samples a second; 0 if it is no sensible rate.
func extended(b []byte) int {
	exponent := int(binary.BigEndian.Uint16(b)&0x7fff) - 16383
	if b[0]&0x80 != 0 || exponent < 0 || exponent > 30 {
		return 0
	}
	return int(math.Round(math.Ldexp(float64(binary.BigEndian.Uint64(b[2:])), exponent-63)))
}
