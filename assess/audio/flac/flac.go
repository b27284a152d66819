package flac

import (
	"bufio"
	"errors"
	"io"

	"clapladder.example/assess/audio/internal/codec"
	"github.com/mewkiz/flac/frame"
	"github.com/mewkiz/flac/meta"
)

// flacDecoder decodes FLAC (RFC 9639) frame by frame. After a damaged frame it
// looks for the next one and fills the hole with silence, so that later times
// stay right.
type flacDecoder struct {
	in       *bufio.Reader
	patch    *flacPatch // nil unless the rate needs it
	info     *meta.StreamInfo
	damage   *codec.Damage
	position int64 // number of the next sample
	began    bool  // a frame has been seen
	out      []float32
	pending  *frame.Frame // decoded, waits for the silence before it
}

// mostFLACFrame is more bytes than any frame has: 65,535 samples of 8 channels at 32 bits. Of zeros
// without end the decoder would read one number without end.
const mostFLACFrame = 4 << 20

// mostFLACBlocks is how many blocks a header may have; programs write a dozen at most. Zeros
// without end would look like empty blocks.
const mostFLACBlocks = 1000

func openFLAC(in *codec.Input, opts codec.Options) (*codec.Sound, error) {
	for {
		head, _ := in.Peek(10)
		n := codec.ID3Length(head)
		if n == 0 {
			break
		}
		if _, err := in.Discard(n); err != nil {
			return nil, codec.TruncatedHeader("flac")
		}
	}
	if _, err := in.Discard(4); err != nil {
		return nil, codec.TruncatedHeader("flac")
	}
	d := &flacDecoder{in: in.Reader}
	for last, n := false, 0; !last; n++ {
		if n == mostFLACBlocks {
			return nil, codec.Malformed("flac", "this FLAC file's header has no end")
		}
		block, err := meta.New(in.Reader)
		if err != nil && !errors.Is(err, meta.ErrReservedType) {
			return nil, flacHeaderError(err)
		}
		last = block.IsLast
		if block.Type == meta.TypeStreamInfo && d.info == nil {
			if err := codec.Safely(block.Parse); err != nil {
				return nil, flacHeaderError(err)
			}
			d.info, _ = block.Body.(*meta.StreamInfo)
		}
		if err := block.Skip(); err != nil {
			return nil, flacHeaderError(err)
		}
	}
	if d.info == nil {
		return nil, codec.Malformed("flac",
			"this FLAC file does not say how its sound is coded (no STREAMINFO)")
	}
	rate, channels, bits := int(d.info.SampleRate), int(d.info.NChannels), int(d.info.BitsPerSample)
	if bits < 4 || bits > 32 {
		return nil, codec.Malformed("flac", "this FLAC file claims %d bits a sample, which cannot be", bits)
	}
	if bits > 24 {
		return nil, &codec.Foreign{Container: codec.FLACFile, Codec: "32-bit sound", Code: "flac"}
	}
	if err := codec.CheckShape("flac", rate, channels, opts); err != nil {
		return nil, err
	}
	if rate == 24000 || rate == 176400 {
		d.patch = &flacPatch{in: in.Reader}
	}
	s := &codec.Sound{Info: codec.Info{Format: "flac", Codec: "flac", SampleRate: rate, Channels: channels}}
	if bits <= 16 {
		s.Step = codec.Step((bits + 7) / 8)
	}
	d.damage = &s.Damage
	s.Decoder = &codec.Blocks{Channels: channels, Next: d.next}
	return s, nil
}

func flacHeaderError(err error) error {
	if codec.IsEnd(err) {
		return codec.TruncatedHeader("flac")
	}
	return codec.Malformed("flac", "this FLAC file's header is damaged: %w", err)
}

func (d *flacDecoder) next() ([]float32, error) {
	for {
		f := d.pending
		d.pending = nil
		if f == nil {
			var err error
			if f, err = d.parse(); err != nil {
				return nil, err
			}
			if f == nil {
				continue
			}
			if gap := d.gap(f); gap > 0 {
				d.pending = f
				return d.silence(gap), nil
			}
		}
		d.position += int64(f.BlockSize)
		return d.interleave(f), nil
	}
}

// parse returns the next frame, nil after a damaged one that was passed over.
func (d *flacDecoder) parse() (*frame.Frame, error) {
	if err := d.sync(); err != nil {
		return nil, err
	}
	var f *frame.Frame
	err := codec.Safely(func() (err error) {
		if d.patch != nil {
			f, err = d.patch.parse()
		} else {
			f, err = frame.Parse(io.LimitReader(d.in, mostFLACFrame))
		}
		return err
	})
	switch {
	case err == nil && f.Channels.Count() == int(d.info.NChannels) &&
		(f.BitsPerSample == 0 || f.BitsPerSample == d.info.BitsPerSample) && f.BlockSize > 0:
		return f, nil
	case codec.IsEnd(err):
		if total := int64(d.info.NSamples); total == 0 || d.position < total {
			d.damage.CutShort = true
		}
		return nil, io.EOF
	}
	d.damage.Concealed++
	return nil, nil
}

// sync discards bytes until a frame may begin: 14 bits of sync code, then zero.
func (d *flacDecoder) sync() error {
	skipped := false
	for junk := 0; ; junk++ {
		if junk > codec.LongestJunk {
			d.damage.CutShort = true
			return io.EOF
		}
		b, err := d.in.Peek(2)
		if len(b) < 2 {
			if codec.IsEnd(err) {
				if skipped {
					// Tags of other programs are often hung behind the sound.
					return io.EOF
				}
				if total := int64(d.info.NSamples); total > 0 && d.position < total {
					d.damage.CutShort = true
				}
				return io.EOF
			}
			return err
		}
		if b[0] == 0xff && b[1]&0xfe == 0xf8 {
			return nil
		}
		skipped = true
		if _, err := d.in.Discard(1); err != nil {
			return err
		}
	}
}

// gap is the number of frames that are missing before f.
func (d *flacDecoder) gap(f *frame.Frame) int64 {
	start := int64(f.Num)
	if f.HasFixedBlockSize {
		start *= int64(d.info.BlockSizeMax)
	}
	if !d.began {
		d.began, d.position = true, start // a cut file may begin anywhere
	}
	gap := start - d.position
	if gap < 0 || gap > codec.LongestHole*int64(d.info.SampleRate) || d.damage.Concealed == 0 {
		return 0
	}
	return gap
}

func (d *flacDecoder) silence(frames int64) []float32 {
	d.position += frames
	return make([]float32, frames*int64(d.info.NChannels))
}

func (d *flacDecoder) interleave(f *frame.Frame) []float32 {
	channels := len(f.Subframes)
	n := int(f.BlockSize)
	if cap(d.out) < n*channels {
		d.out = make([]float32, n*channels)
	}
	out := d.out[:n*channels]
	scale := float32(1) / float32(int64(1)<<(d.info.BitsPerSample-1))
	for c, sub := range f.Subframes {
		samples := sub.Samples[:min(n, len(sub.Samples))]
		for i, v := range samples {
			out[i*channels+c] = float32(v) * scale
		}
		for i := len(samples); i < n; i++ {
			out[i*channels+c] = 0
		}
	}
	return out
}
