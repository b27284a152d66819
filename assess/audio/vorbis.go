package audio

import (
	"errors"

	"github.com/jfreymuth/vorbis"
)

// openVorbis opens an Ogg Vorbis stream whose first page has been read.
func openVorbis(o *oggReader, opts Options) (*sound, error) {
	head, err := o.next()
	if err != nil || len(head.data) < 30 {
		return nil, truncatedHeader("ogg")
	}
	var d vorbis.Decoder
	short, long := head.data[28]&15, head.data[28]>>4
	if short < 6 || long > 13 || short > long {
		return nil, malformed("ogg", "this Vorbis file's header is damaged")
	}
	if err := d.ReadHeader(head.data); err != nil {
		return nil, malformed("ogg", "this Vorbis file's header is damaged: %w", err)
	}
	rate, channels := d.SampleRate(), d.Channels()
	if err := checkShape("ogg", rate, channels, opts); err != nil {
		return nil, err
	}
	// The comments are of no use here and their sizes not to be believed.
	if _, err := o.next(); err != nil {
		return nil, truncatedHeader("ogg")
	}
	setup, err := o.next()
	if err != nil {
		return nil, truncatedHeader("ogg")
	}
	err = checkSetup(setup.data)
	if err == nil {
		err = safely(func() error { return d.ReadHeader(setup.data) })
	}
	if err == nil && !d.HeadersRead() {
		err = errors.New("no codebooks")
	}
	if err != nil {
		return nil, malformed("ogg", "this Vorbis file's header is damaged: %w", err)
	}
	s := &sound{Info: Info{Format: "ogg", Codec: "vorbis", SampleRate: rate, Channels: channels}}
	out := make([]float32, d.BufferSize())
	audio := &oggAudio{
		packets: o, channels: channels, rate: rate, damage: &s.damage, cutFront: true,
		lost:   d.Clear,
		decode: func(packet []byte) ([]float32, error) { return d.DecodeInto(packet, out) },
	}
	s.decoder = &blocks{channels: channels, next: audio.next}
	return s, nil
}
