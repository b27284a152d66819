package aac

import (
	"io"

	"clapladder.example/assess/audio/internal/codec"
)

// adtsFrames hands out the frames of an ADTS stream and passes over junk.
type adtsFrames struct {
	in     *codec.Input
	first  codec.ADTSHeader
	buf    []byte
	seen   bool
	lost   codec.LostFrames
	damage *codec.Damage
}

func (a *adtsFrames) read() ([]byte, error) {
	for junk := 0; ; junk++ {
		if junk > codec.LongestJunk {
			a.damage.CutShort = true
			return nil, io.EOF
		}
		b, err := a.in.Peek(10)
		if len(b) < codec.ADTSHeaderSize {
			if err == nil || codec.IsEnd(err) {
				err = io.EOF
			}
			return nil, err
		}
		if n := codec.ID3Length(b); n > 0 {
			if _, err := io.CopyN(io.Discard, a.in, int64(n)); err != nil {
				return nil, io.EOF
			}
			continue
		}
		h, ok := codec.ParseADTSHeader(b)
		if !ok || h.Config != a.first.Config || junk > 0 && !a.confirmed(h) {
			_, _ = a.in.Discard(1)
			continue
		}
		full, err := a.in.Peek(h.Size)
		if len(full) < h.Size {
			if codec.IsEnd(err) {
				a.damage.CutShort = true
				err = io.EOF
			}
			return nil, err
		}
		if a.seen && a.lost.Found(junk, h.Size) {
			a.damage.Concealed++
		}
		a.seen = true
		a.buf = append(a.buf[:0], full[h.Header:]...)
		_, _ = a.in.Discard(h.Size)
		return a.buf, nil
	}
}

func (a *adtsFrames) confirmed(h codec.ADTSHeader) bool {
	b, _ := a.in.Peek(h.Size + codec.ADTSHeaderSize)
	if len(b) < h.Size+codec.ADTSHeaderSize {
		return len(b) == h.Size
	}
	n, ok := codec.ParseADTSHeader(b[h.Size:])
	return ok && n.Config == h.Config
}

// openADTS opens a bare AAC stream. It cannot say how much of its beginning is
// the encoder's, so the least that any encoder adds is left out.
func openADTS(in *codec.Input, opts codec.Options) (*codec.Sound, error) {
	s := &codec.Sound{Info: codec.Info{Format: "aac", Codec: "aac"}}
	frames := &adtsFrames{in: in, damage: &s.Damage}
	for junk := 0; ; junk++ {
		b, err := in.Peek(10)
		if len(b) < codec.ADTSHeaderSize || junk > codec.LongestJunk {
			if err != nil && !codec.IsEnd(err) {
				return nil, err
			}
			return nil, codec.Malformed("aac", "this AAC file holds no complete frame")
		}
		if n := codec.ID3Length(b); n > 0 {
			if _, err := io.CopyN(io.Discard, in, int64(n)); err != nil {
				return nil, codec.TruncatedHeader("aac")
			}
			continue
		}
		if h, ok := codec.ParseADTSHeader(b); ok && frames.confirmed(h) {
			frames.first = h
			break
		}
		_, _ = in.Discard(1)
	}
	if h := frames.first; h.Blocks > 1 || h.Profile != 1 {
		return nil, &codec.Foreign{Container: codec.ADTSFile, Codec: "AAC other than AAC-LC", Code: "aac"}
	}
	d := &aacDecoder{
		frames: frames.read, lost: &frames.lost, config: frames.first.Config[:],
		damage: &s.Damage, fault: in.Fault,
	}
	if err := d.start(); err != nil {
		return nil, aacStartError(codec.ADTSFile, err)
	}
	info := d.decoder.Info()
	s.SampleRate, s.Channels, d.channels = info.SampleRate, info.Channels, info.Channels
	if err := codec.CheckShape("aac", s.SampleRate, s.Channels, opts); err != nil {
		return nil, err
	}
	s.Decoder = &codec.Blocks{Channels: s.Channels, Skip: aacPriming, Next: d.next}
	return s, nil
}
