package aac

import (
	"encoding/binary"
	"errors"
	"io"
	"math"
	"strings"

	"clapladder.example/assess/audio/internal/codec"
	"github.com/tphakala/go-aac/pcm"
)

// Every AAC encoder starts with at least one frame that only fills the overlap
// of the transform. Where the file does not say how much to skip, this much is.
const (
	aacFrame   = 1024
	aacPriming = 1024
)

// aacDecoder decodes raw AAC-LC frames with go-aac, which wants them with their
// length in front. It reads one frame at a time, so that the frame that failed
// is known; that one becomes silence.
type aacDecoder struct {
	frames   func() ([]byte, error) // io.EOF at the end
	lost     *codec.LostFrames      // nil: none can be lost
	fault    func() error
	config   []byte
	decoder  *pcm.Decoder
	channels int
	damage   *codec.Damage

	prefixed []byte
	rest     []byte
	ended    error
	waiting  bool // out waits for the silence before it
	buf      []byte
	out      []float32
}

// Read implements the stream of prefixed frames for go-aac.
func (d *aacDecoder) Read(p []byte) (int, error) {
	if len(d.rest) == 0 {
		frame, err := d.frames()
		if err != nil {
			d.ended = err
			return 0, err
		}
		d.prefixed = binary.BigEndian.AppendUint16(d.prefixed[:0], uint16(len(frame)))
		d.prefixed = append(d.prefixed, frame...)
		d.rest = d.prefixed
	}
	n := copy(p, d.rest)
	d.rest = d.rest[n:]
	return n, nil
}

// start makes the decoder ready; it fails for what is not plain AAC-LC.
func (d *aacDecoder) start() error {
	return codec.Safely(func() (err error) {
		d.decoder, err = pcm.NewDecoder(d, pcm.WithRawStream(d.config))
		return err
	})
}

func (d *aacDecoder) next() ([]float32, error) {
	if !d.waiting {
		if err := d.Decode(); err != nil {
			return nil, err
		}
	}
	if d.waiting = d.lost != nil && d.lost.Take(); d.waiting {
		return make([]float32, len(d.out)), nil
	}
	return d.out, nil
}

// decode puts the next frame into out.
func (d *aacDecoder) Decode() error {
	if d.buf == nil {
		d.buf = make([]byte, aacFrame*d.channels*2)
		d.out = make([]float32, aacFrame*d.channels)
	}
	err := codec.Safely(func() error {
		_, err := io.ReadFull(d.decoder, d.buf)
		return err
	})
	if err != nil {
		if fault := d.fault(); fault != nil {
			return fault
		}
		if d.ended != nil {
			return d.ended
		}
		d.damage.Concealed++
		d.rest = nil
		if err := codec.Safely(func() error {
			return d.decoder.Reset(d,
				pcm.WithRawStream(d.config))
		}); err != nil {
			return err
		}
		clear(d.out)
		return nil
	}
	for i := range d.out {
		d.out[i] = float32(int16(binary.LittleEndian.Uint16(d.buf[2*i:]))) * (1.0 / 32768)
	}
	return nil
}

// openMP4 opens the first sound track of an MP4, M4A, 3GP or MOV file.
func openMP4(in *codec.Input, opts codec.Options) (*codec.Sound, error) {
	ra, err := in.Random()
	if err != nil {
		return nil, err
	}
	m, err := parseMP4(ra)
	if err != nil {
		return nil, err
	}
	if len(m.tracks) == 0 {
		return nil, &codec.Error{
			Kind: codec.KindNotAudio, Format: "mp4",
			Message: "this MP4 file has no sound track",
		}
	}
	t := m.tracks[0]
	for _, other := range m.tracks[1:] {
		if t.codec != "mp4a" && other.codec == "mp4a" {
			t = other
		}
	}
	switch {
	case t.codec == "enca":
		return nil, &codec.Error{
			Kind: codec.KindUnsupported, Format: "mp4", Message: "this recording is copy-protected",
			Advice: "use a recording of your own without protection",
		}
	case t.codec != "mp4a":
		return nil, &codec.Foreign{
			Container: codec.MP4File, Codec: mp4CodecName(t.codec),
			Code: strings.Trim(strings.ToLower(t.codec), " .\x00"),
		}
	case t.object != 0x40 && t.object != 0x67:
		return nil, &codec.Foreign{Container: codec.MP4File, Codec: "an unusual codec"}
	case t.count == 0 && m.fragments:
		return nil, &codec.Foreign{Container: codec.MP4File, Codec: "sound in fragments", Code: "aac"}
	case t.count == 0:
		return nil, &codec.Error{
			Kind: codec.KindEmpty, Format: "mp4",
			Message: "this recording holds no sound",
		}
	}
	s := &codec.Sound{Info: codec.Info{Format: "mp4", Codec: "aac"}}
	samples := &mp4Samples{ra: ra, track: t, damage: &s.Damage}
	d := &aacDecoder{
		frames: samples.read, config: t.config, damage: &s.Damage,
		fault: func() error { return ra.Fault() },
	}
	if err := d.start(); err != nil {
		return nil, aacStartError(codec.MP4File, err)
	}
	info := d.decoder.Info()
	s.SampleRate, s.Channels, d.channels = info.SampleRate, info.Channels, info.Channels
	if err := codec.CheckShape("mp4", s.SampleRate, s.Channels, opts); err != nil {
		return nil, err
	}
	skip, limit := t.bounds(m.timescale, s.SampleRate)
	s.Decoder = &codec.Blocks{Channels: s.Channels, Skip: skip, Limit: limit, Next: d.next}
	return s, nil
}

func aacStartError(c codec.Container, err error) error {
	if errors.Is(err, pcm.ErrUnsupported) {
		return &codec.Foreign{Container: c, Codec: "AAC other than AAC-LC", Code: "aac"}
	}
	return codec.Malformed(c.Name, "this %s file's description of its sound is damaged: %w", c.Display, err)
}

func mp4CodecName(code string) string {
	names := map[string]string{
		"alac": "Apple Lossless sound", "samr": "AMR sound", "sawb": "AMR-WB sound", "ac-3": "AC-3 sound",
		"ec-3": "E-AC-3 sound", "Opus": "Opus sound", "fLaC": "FLAC sound", ".mp3": "MP3 sound",
		"sowt": "PCM sound", "twos": "PCM sound", "lpcm": "PCM sound", "in24": "PCM sound",
	}
	if name, ok := names[code]; ok {
		return name
	}
	return "an unusual codec"
}

// bounds gives the samples to leave out at the start, which is where the edit
// list begins, and how many follow; 0 is no limit. Empty edits, which delay the
// sound against the picture, do not count: time zero is where the sound begins.
func (t *mp4Track) bounds(movieScale uint32, rate int) (skip, limit int64) {
	skip = aacPriming
	real := 0
	for _, e := range t.edits {
		if e.mediaTime < 0 || t.timescale == 0 {
			continue
		}
		if real++; real > 1 {
			return skip, 0 // cut and joined: play from the first part on
		}
		skip = scaleTime(uint64(e.mediaTime), t.timescale, rate)
		if movieScale > 0 {
			limit = scaleTime(e.duration, movieScale, rate)
		}
	}
	return skip, limit
}

// scaleTime turns ticks of a timescale into samples, rounded to the nearest.
func scaleTime(ticks uint64, timescale uint32, rate int) int64 {
	return int64(min(math.Round(float64(ticks)*float64(rate)/float64(timescale)), 1<<62))
}
