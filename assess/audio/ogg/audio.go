package ogg

import (
	"bytes"
	"errors"
	"io"
	"strings"

	"clapladder.example/assess/audio/internal/codec"
)

// openOgg finds the first stream that is decoded here among those that begin at
// the start of the file.
func openOgg(in *codec.Input, opts codec.Options) (*codec.Sound, error) {
	o := &oggReader{in: in}
	other := ""
	for {
		if _, err := o.readPage(); err != nil {
			if fault := in.Fault(); fault != nil {
				return nil, fault
			}
			if other == "" {
				return nil, codec.TruncatedHeader("ogg")
			}
			break
		}
		if o.page.flags&oggFirst == 0 {
			break
		}
		o.at, o.offset = 0, 0
		o.serial, o.chosen, o.sequence = o.page.serial, true, o.page.sequence+1
		o.ended = o.page.flags&oggLast != 0
		head := o.page.body
		switch {
		case bytes.HasPrefix(head, []byte("OpusHead")):
			return openOpus(o, opts)
		case bytes.HasPrefix(head, []byte("\x01vorbis")):
			return openVorbis(o, opts)
		case bytes.HasPrefix(head, []byte("Speex   ")):
			other = "Speex"
		case bytes.HasPrefix(head, []byte("\x7fFLAC")):
			other = "FLAC"
		}
	}
	if other == "" {
		return nil, codec.Unsupported("ogg", "this Ogg file holds no sound of a known kind")
	}
	return nil, &codec.Foreign{Container: codec.OggFile, Codec: other, Code: strings.ToLower(other)}
}

// oggAudio turns the packets of one stream into samples at their right place:
// the page's granule position counts samples from the stream's beginning, cuts
// the end, and tells how much is missing after a loss.
type oggAudio struct {
	packets  *oggReader
	channels int
	rate     int
	decode   func(packet []byte) ([]float32, error) // interleaved, valid until the next call
	lost     func()                                 // pages are missing before the next packet
	cutFront bool                                   // the first page's granule may cut its beginning (Vorbis)
	damage   *codec.Damage

	position int64 // granule position reached
	began    bool
	done     bool
	page     []float32
}

// next returns the samples of the packets that end in one page.
func (a *oggAudio) next() ([]float32, error) {
	if a.done {
		return nil, io.EOF
	}
	a.page = a.page[:0]
	lost := false
	for {
		pkt, err := a.packets.next()
		if err != nil {
			a.done = true
			if fault := a.packets.in.Fault(); fault != nil {
				return nil, fault
			}
			if !errors.Is(err, io.EOF) {
				a.damage.CutShort = true
			}
			return a.page, nil
		}
		if pkt.lost {
			lost = true
			a.damage.Concealed++
			a.lost()
		}
		var out []float32
		err = codec.Safely(func() (err error) {
			out, err = a.decode(pkt.data)
			return err
		})
		if err != nil {
			a.damage.Concealed++
			a.lost()
			lost = true
			out = nil
		}
		a.page = append(a.page, out...)
		if pkt.last {
			a.done = true
		}
		if pkt.granule >= 0 || pkt.last || len(a.page) > 4*a.rate*a.channels {
			return a.place(pkt, lost), nil
		}
	}
}

// place cuts or fills the page's samples so that they end at its granule position.
func (a *oggAudio) place(pkt oggPacket, lost bool) []float32 {
	frames := int64(len(a.page) / a.channels)
	out := a.page
	granule := pkt.granule
	switch {
	case granule < 0:
		granule = a.position + frames
	case !a.began:
		a.began = true
		a.position = granule - frames
		if a.position < 0 && (pkt.last || !a.cutFront) {
			a.position = 0
		}
		if a.position < 0 {
			out = out[min(len(out), int(-a.position)*a.channels):]
			a.position, frames = 0, int64(len(out)/a.channels)
		}
	}
	end := a.position + frames
	if pkt.last && granule < end && granule >= a.position {
		out = out[:len(out)-int(end-granule)*a.channels]
	}
	if hole := granule - end; lost && hole > 0 && hole <= codec.LongestHole*int64(a.rate) {
		filled := make([]float32, int(hole)*a.channels, int(hole)*a.channels+len(out))
		out = append(filled, out...)
	}
	a.position = max(granule, a.position)
	return out
}
