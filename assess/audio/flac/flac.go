package flac

import (
	"bufio"
	"encoding/binary"
	"errors"
	"io"

	"clapladder.example/assess/audio/internal/codec"
)

// flacDecoder decodes FLAC (RFC 9639) frame by frame. After a damaged frame it
// looks for the next one and fills the hole with silence, so that later times
// stay right.
type flacDecoder struct {
	in       *bufio.Reader
	info     streamInfo
	damage   *codec.Damage
	position int64 // number of the next sample
	began    bool  // a frame has been seen
	frame    frame
	pending  bool // frame is decoded and waits for the silence before it
	out      []float32
}

// streamInfo is what the file says of all its frames (RFC 9639, section 8.2).
type streamInfo struct {
	block                int // samples of a frame, where all have as many
	rate, channels, bits int
	samples              int64 // of each channel; 0: unknown
}

const (
	streamInfoType  = 0
	streamInfoBytes = 34
)

func parseStreamInfo(b []byte) streamInfo {
	x := binary.BigEndian.Uint64(b[10:])
	return streamInfo{
		block: int(binary.BigEndian.Uint16(b[2:])), rate: int(x >> 44), channels: int(x>>41&7) + 1,
		bits: int(x>>36&31) + 1, samples: int64(x & (1<<36 - 1)),
	}
}

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
	if err := d.readHeader(); err != nil {
		return nil, err
	}
	rate, channels, bits := d.info.rate, d.info.channels, d.info.bits
	if bits < 4 || bits > 32 {
		return nil, codec.Malformed("flac", "this FLAC file claims %d bits a sample, which cannot be", bits)
	}
	if bits > 24 {
		return nil, &codec.Foreign{Container: codec.FLACFile, Codec: "32-bit sound", Code: "flac"}
	}
	if err := codec.CheckShape("flac", rate, channels, opts); err != nil {
		return nil, err
	}
	s := &codec.Sound{Info: codec.Info{Format: "flac", Codec: "flac", SampleRate: rate, Channels: channels}}
	if bits <= 16 {
		s.Step = codec.Step((bits + 7) / 8)
	}
	d.damage = &s.Damage
	s.Decoder = &codec.Blocks{Channels: channels, Next: d.next}
	return s, nil
}

// readHeader reads the blocks before the sound.
func (d *flacDecoder) readHeader() error {
	known := false
	for last, n := false, 0; !last; n++ {
		if n == mostFLACBlocks {
			return codec.Malformed("flac", "this FLAC file's header has no end")
		}
		b, err := d.in.Peek(4)
		if len(b) < 4 {
			return headerEnds(err)
		}
		last = b[0]&0x80 != 0
		kind, size := b[0]&0x7f, int(b[1])<<16|int(b[2])<<8|int(b[3])
		_, _ = d.in.Discard(4)
		if kind == streamInfoType && !known {
			if size < streamInfoBytes {
				return codec.Malformed("flac",
					"this FLAC file's header is damaged: its STREAMINFO is too short")
			}
			b, err := d.in.Peek(streamInfoBytes)
			if len(b) < streamInfoBytes {
				return headerEnds(err)
			}
			d.info, known = parseStreamInfo(b), true
		}
		if _, err := d.in.Discard(size); err != nil {
			return headerEnds(err)
		}
	}
	if !known {
		return codec.Malformed("flac",
			"this FLAC file does not say how its sound is coded (no STREAMINFO)")
	}
	return nil
}

// headerEnds is the error of a file that ends in its header, or can't be read further.
func headerEnds(err error) error {
	if err == nil || codec.IsEnd(err) {
		return codec.TruncatedHeader("flac")
	}
	return codec.Malformed("flac", "this FLAC file's header is damaged: %w", err)
}

func (d *flacDecoder) next() ([]float32, error) {
	for !d.pending {
		if err := d.sync(); err != nil {
			return nil, err
		}
		err := d.frame.parse(d.in, d.info.channels, d.info.bits)
		switch {
		case err == nil:
			d.pending = true
			if gap := d.gap(); gap > 0 {
				return d.silence(gap), nil
			}
		case codec.IsEnd(err):
			if d.info.samples == 0 || d.position < d.info.samples {
				d.damage.CutShort = true
			}
			return nil, io.EOF
		case errors.Is(err, errDamaged):
			d.damage.Concealed++
		default:
			return nil, err
		}
	}
	d.pending = false
	d.position += int64(d.frame.block)
	return d.interleave(), nil
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
				if d.position < d.info.samples {
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

// gap is the number of samples that are missing before the frame.
func (d *flacDecoder) gap() int64 {
	start := d.frame.number
	if d.frame.fixed {
		start *= int64(d.info.block)
	}
	if !d.began {
		d.began, d.position = true, start // a cut file may begin anywhere
	}
	gap := start - d.position
	if gap < 0 || gap > codec.LongestHole*int64(d.info.rate) || d.damage.Concealed == 0 {
		return 0
	}
	return gap
}

func (d *flacDecoder) silence(frames int64) []float32 {
	d.position += frames
	return make([]float32, frames*int64(d.info.channels))
}

func (d *flacDecoder) interleave() []float32 {
	channels, n := d.info.channels, d.frame.block
	if cap(d.out) < n*channels {
		d.out = make([]float32, n*channels)
	}
	out := d.out[:n*channels]
	scale := float32(1) / float32(int64(1)<<(d.info.bits-1))
	for c := range channels {
		for i, x := range d.frame.samples[c] {
			out[i*channels+c] = float32(x) * scale
		}
	}
	return out
}
