package ogg

import (
	"errors"

	"clapladder.example/assess/audio/internal/codec"
	"github.com/jfreymuth/vorbis"
)

// openVorbis opens an Ogg Vorbis stream whose first page has been read.
func openVorbis(o *oggReader, opts codec.Options) (*codec.Sound, error) {
	head, err := o.next()
	if err != nil || len(head.data) < 30 {
		return nil, codec.TruncatedHeader("ogg")
	}
	var d vorbis.Decoder
	short, long := head.data[28]&15, head.data[28]>>4
	if short < 6 || long > 13 || short > long {
		return nil, codec.Malformed("ogg", "this Vorbis file's header is damaged")
	}
	if err := d.ReadHeader(head.data); err != nil {
		return nil, codec.Malformed("ogg", "this Vorbis file's header is damaged: %w", err)
	}
	rate, channels := d.SampleRate(), d.Channels()
	if err := codec.CheckShape("ogg", rate, channels, opts); err != nil {
		return nil, err
	}
	// The comments are of no use here and their sizes not to be believed.
	if _, err := o.next(); err != nil {
		return nil, codec.TruncatedHeader("ogg")
	}
	setup, err := o.next()
	if err != nil {
		return nil, codec.TruncatedHeader("ogg")
	}
	err = checkSetup(setup.data)
	if err == nil {
		err = codec.Safely(func() error { return d.ReadHeader(setup.data) })
	}
	if err == nil && !d.HeadersRead() {
		err = errors.New("no codebooks")
	}
	if err != nil {
		return nil, codec.Malformed("ogg", "this Vorbis file's header is damaged: %w", err)
	}
	s := &codec.Sound{Info: codec.Info{Format: "ogg", Codec: "vorbis", SampleRate: rate, Channels: channels}}
	out := make([]float32, d.BufferSize())
	audio := &oggAudio{
		packets: o, channels: channels, rate: rate, damage: &s.Damage, cutFront: true,
		lost:   d.Clear,
		decode: func(packet []byte) ([]float32, error) { return d.DecodeInto(packet, out) },
	}
	s.Decoder = &codec.Blocks{Channels: channels, Next: audio.next}
	return s, nil
}
