package mp3

import (
	"bytes"
	"encoding/binary"
	"io"

	"clapladder.example/assess/audio/internal/codec"
	"clapladder.example/assess/audio/mp3/internal/layer3"
)

// Delays of MP3, in samples. A decoder's filter bank comes 529 samples late
// (LAME's technical FAQ: 528 plus one); the encoder's delay is in the LAME tag.
// Without a tag the usual encoder delay of LAME is assumed, common practice.
const (
	mp3DecoderDelay = 529
	mp3EncoderDelay = 576
)

// mp3Decoder decodes frame by frame.
type mp3Decoder struct {
	frames  *mp3Frames
	decoder layer3.Decoder
	again   bool // the frame found last is still to be decoded
	out     []float32
	waiting bool // out waits for the silence before it
}

func openMP3(in *codec.Input, opts codec.Options) (*codec.Sound, error) {
	s := &codec.Sound{}
	frames := &mp3Frames{in: in, damage: &s.Damage}
	h, err := frames.next()
	if err != nil {
		if fault := in.Fault(); fault != nil {
			return nil, fault
		}
		return nil, codec.Malformed("mp3", "this MP3 file holds no complete frame")
	}
	frames.first, frames.began = h, true
	if err := codec.CheckShape("mp3", h.Rate, h.Channels(), opts); err != nil {
		return nil, err
	}
	skip, tail := int64(mp3DecoderDelay+mp3EncoderDelay), int64(0)
	tag, found := parseMP3Tag(h, frames.frame)
	if tag.known {
		skip = int64(mp3DecoderDelay + tag.delay)
		tail = max(0, int64(tag.padding-mp3DecoderDelay))
	}
	d := &mp3Decoder{frames: frames, again: !found, out: make([]float32, h.Samples()*h.Channels())}
	s.Info = codec.Info{Format: "mp3", Codec: "mp3", SampleRate: h.Rate, Channels: h.Channels()}
	s.Decoder = &codec.Blocks{Channels: h.Channels(), Skip: skip, Tail: tail, Next: d.next}
	return s, nil
}

// mp3Tag is what the information frame at the start of many files says.
type mp3Tag struct {
	known          bool // delay and padding are given
	delay, padding int  // samples
}

// parseMP3Tag looks for the "Xing"/"Info" frame with LAME's extension, or
// Fraunhofer's "VBRI". Such a frame holds no sound. Layout: LAME "Mp3 Info Tag"
// revision 1.
func parseMP3Tag(h codec.MP3Header, frame []byte) (mp3Tag, bool) {
	if len(frame) >= 40 && string(frame[36:40]) == "VBRI" {
		return mp3Tag{}, true
	}
	at := h.Body() + h.SideInfo()
	b := frame[min(at, len(frame)):]
	if len(b) < 8 || string(b[:4]) != "Xing" && string(b[:4]) != "Info" {
		return mp3Tag{}, false
	}
	flags := binary.BigEndian.Uint32(b[4:])
	n := 8
	for i, size := range []int{4, 4, 100, 4} {
		if flags>>i&1 != 0 {
			n += size
		}
	}
	if len(b) < n+24 || bytes.Equal(b[n:n+4], []byte{0, 0, 0, 0}) {
		return mp3Tag{}, true
	}
	v := b[n+21:]
	tag := mp3Tag{known: true, delay: int(v[0])<<4 | int(v[1]>>4), padding: int(v[1]&15)<<8 | int(v[2])}
	if tag.delay == 0 && tag.padding == 0 {
		tag.known = false
	}
	return tag, true
}

func (d *mp3Decoder) next() ([]float32, error) {
	if !d.waiting {
		if err := d.decode(); err != nil {
			return nil, err
		}
	}
	if d.waiting = d.frames.lost.Take(); d.waiting {
		return make([]float32, len(d.out)), nil
	}
	return d.out, nil
}

// decode puts the next frame into out.
func (d *mp3Decoder) decode() error {
	h := d.frames.first
	if !d.again {
		var err error
		if h, err = d.frames.next(); err != nil {
			if fault := d.frames.in.Fault(); fault != nil {
				return fault
			}
			return io.EOF
		}
	}
	d.again = false
	joint := h.Bits>>6&3 == 1
	body := h.Body()
	complete := d.decoder.Decode(d.out, layer3.Frame{
		Version: h.Version, Rate: h.Rate, Channels: h.Channels(),
		Middle: joint && h.Bits>>5&1 == 1, Intensity: joint && h.Bits>>4&1 == 1,
		Side: d.frames.frame[body:][:h.SideInfo()], Main: d.frames.frame[body+h.SideInfo():],
	})
	switch {
	case complete:
		d.frames.seen = true
	case d.frames.seen: // before, the recording was cut out of a longer one
		d.frames.damage.Concealed++
	}
	return nil
}
