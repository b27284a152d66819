package mp3

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"

	"clapladder.example/assess/audio/internal/codec"
	"github.com/hajimehoshi/go-mp3"
)

// Delays of MP3, in samples. A decoder's filter bank comes 529 samples late
// (LAME's technical FAQ: 528 plus one); the encoder's delay is in the LAME tag.
// Without a tag the usual encoder delay of LAME is assumed, common practice.
const (
	mp3DecoderDelay = 529
	mp3EncoderDelay = 576
)

// mp3Decoder decodes with go-mp3, which always yields two channels of 16 bits.
type mp3Decoder struct {
	frames   *mp3Frames
	decoder  *mp3.Decoder
	channels int
	buf      []byte
	out      []float32
	waiting  bool // out waits for the silence before it
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
	if h.Version == 25 {
		return nil, &codec.Foreign{Container: codec.MP3File, Codec: "MPEG-2.5 sound", Code: "mp3"}
	}
	frames.repack = h.Rate == 22050
	if err := codec.CheckShape("mp3", h.Rate, h.Channels(), opts); err != nil {
		return nil, err
	}
	skip, tail := int64(mp3DecoderDelay+mp3EncoderDelay), int64(0)
	tag, found := parseMP3Tag(h, frames.frame)
	switch {
	case !found:
		frames.prepare(h) // an ordinary frame: decode it
	case tag.known:
		skip = int64(mp3DecoderDelay + tag.delay)
		tail = max(0, int64(tag.padding-mp3DecoderDelay))
	}
	d := &mp3Decoder{frames: frames, channels: h.Channels(), buf: make([]byte, h.Samples()*4)}
	s.Info = codec.Info{Format: "mp3", Codec: "mp3", SampleRate: h.Rate, Channels: d.channels}
	s.Decoder = &codec.Blocks{Channels: d.channels, Skip: skip, Tail: tail, Next: d.next}
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
		if err := d.Decode(); err != nil {
			return nil, err
		}
	}
	if d.waiting = d.frames.lost.Take(); d.waiting {
		return make([]float32, len(d.out)), nil
	}
	return d.out, nil
}

// decode puts the next frame into out.
func (d *mp3Decoder) Decode() error {
	err := codec.Safely(func() (err error) {
		if d.decoder == nil {
			if d.decoder, err = mp3.NewDecoder(readOnly{d.frames}); err != nil {
				d.decoder = nil
				return err
			}
		}
		_, err = io.ReadFull(d.decoder, d.buf)
		return err
	})
	switch {
	case err == nil:
	case errors.Is(err, codec.ErrDecoder) || !codec.IsEnd(err):
		if fault := d.frames.in.Fault(); fault != nil {
			return fault
		}
		// Start anew behind the frame that failed and keep its place in time.
		d.decoder = nil
		d.frames.rest = nil
		d.frames.reservoir = 0
		d.frames.damage.Concealed++
		clear(d.buf)
	default:
		return io.EOF
	}
	n := len(d.buf) / 4
	if cap(d.out) < n*d.channels {
		d.out = make([]float32, n*d.channels)
	}
	d.out = d.out[:n*d.channels]
	for i := range n {
		for c := range d.channels {
			d.out[i*d.channels+c] = float32(int16(binary.LittleEndian.Uint16(d.buf[4*i+2*c:]))) *
				(1.0 / 32768)
		}
	}
	return nil
}

// readOnly hides everything but Read: the decoder would scan a seekable file.
type readOnly struct{ io.Reader }
