package ogg

import (
	"encoding/binary"
	"math"

	"clapladder.example/assess/audio/internal/codec"
	"github.com/pion/opus"
)

// opusRate is the rate of granule positions and of the decoder's output
// (RFC 7845, section 4).
const opusRate = 48000

// openOpus opens an Ogg Opus stream (RFC 7845) whose first page has been read.
func openOpus(o *oggReader, opts codec.Options) (*codec.Sound, error) {
	head, err := o.next()
	if err != nil || len(head.data) < 19 {
		return nil, codec.TruncatedHeader("ogg")
	}
	b := head.data
	if b[8]>>4 != 0 {
		return nil, codec.Unsupported("ogg", "this Opus file is of an unknown version")
	}
	channels := int(b[9])
	skip := int64(binary.LittleEndian.Uint16(b[10:]))
	gain := float32(math.Pow(10, float64(int16(binary.LittleEndian.Uint16(b[16:])))/256/20))
	if b[18] != 0 || channels > 2 {
		return nil, &codec.Foreign{
			Container: codec.OggFile,
			Codec:     "Opus with more than two channels", Code: "opus",
		}
	}
	if err := codec.CheckShape("ogg", opusRate, channels, opts); err != nil {
		return nil, err
	}
	if _, err := o.next(); err != nil { // the comments
		return nil, codec.TruncatedHeader("ogg")
	}
	decoder, err := opus.NewDecoderWithOutput(opusRate, channels)
	if err != nil {
		return nil, codec.Malformed("ogg", "this Opus file's header is damaged: %w", err)
	}
	s := &codec.Sound{Info: codec.Info{
		Format: "ogg", Codec: "opus", SampleRate: opusRate,
		Channels: channels,
	}}
	out := make([]float32, opusRate/1000*120*channels) // the longest packet
	audio := &oggAudio{
		packets: o, channels: channels, rate: opusRate, damage: &s.Damage,
		lost: func() {},
		decode: func(packet []byte) ([]float32, error) {
			n := 0
			err := codec.Safely(func() (err error) {
				n, err = decoder.DecodeToFloat32(packet, out)
				return err
			})
			samples := out[:n*channels]
			if err != nil {
				// The packet says how long it is, even if the rest of it is bad.
				s.Damage.Concealed++
				samples = out[:opusSamples(packet)*channels]
				clear(samples)
			}
			if gain != 1 {
				for i := range samples {
					samples[i] *= gain
				}
			}
			return samples, nil
		},
	}
	s.Decoder = &codec.Blocks{Channels: channels, Skip: skip, Next: audio.next}
	return s, nil
}

// opusSamples is the length of a packet by its first two bytes, in samples of
// each channel at 48 kHz; 0 if they make no sense (RFC 6716, section 3.1).
func opusSamples(packet []byte) int {
	if len(packet) == 0 {
		return 0
	}
	config, frames := packet[0]>>3, 1
	switch packet[0] & 3 {
	case 1, 2:
		frames = 2
	case 3:
		if len(packet) < 2 {
			return 0
		}
		frames = int(packet[1] & 63)
	}
	size := 0
	switch {
	case config < 12:
		size = [4]int{480, 960, 1920, 2880}[config&3]
	case config < 16:
		size = [2]int{480, 960}[config&1]
	default:
		size = [4]int{120, 240, 480, 960}[config&3]
	}
	if size*frames > opusRate/1000*120 {
		return 0
	}
	return size * frames
}
