package audio

import (
	"encoding/binary"
	"errors"
	"io"
	"math"
	"strings"

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
	lost     *lostFrames            // nil: none can be lost
	fault    func() error
	config   []byte
	decoder  *pcm.Decoder
	channels int
	damage   *damage

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
	return safely(func() (err error) {
		d.decoder, err = pcm.NewDecoder(d, pcm.WithRawStream(d.config))
		return err
	})
}

func (d *aacDecoder) next() ([]float32, error) {
	if !d.waiting {
		if err := d.decode(); err != nil {
			return nil, err
		}
	}
	if d.waiting = d.lost != nil && d.lost.take(); d.waiting {
		return make([]float32, len(d.out)), nil
	}
	return d.out, nil
}

// decode puts the next frame into out.
func (d *aacDecoder) decode() error {
	if d.buf == nil {
		d.buf = make([]byte, aacFrame*d.channels*2)
		d.out = make([]float32, aacFrame*d.channels)
	}
	err := safely(func() error {
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
		d.damage.concealed++
		d.rest = nil
		if err := safely(func() error { return d.decoder.Reset(d, pcm.WithRawStream(d.config)) }); err != nil {
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
func openMP4(in *input, opts Options) (*sound, error) {
	ra, err := in.random()
	if err != nil {
		return nil, err
	}
	m, err := parseMP4(ra)
	if err != nil {
		return nil, err
	}
	if len(m.tracks) == 0 {
		return nil, &Error{Kind: KindNotAudio, Format: "mp4", Message: "this MP4 file has no sound track"}
	}
	t := m.tracks[0]
	for _, other := range m.tracks[1:] {
		if t.codec != "mp4a" && other.codec == "mp4a" {
			t = other
		}
	}
	switch {
	case t.codec == "enca":
		return nil, &Error{
			Kind: KindUnsupported, Format: "mp4", Message: "this recording is copy-protected",
			Advice: "use a recording of your own without protection",
		}
	case t.codec != "mp4a":
		return nil, &foreign{container: mp4File, codec: mp4CodecName(t.codec), code: strings.Trim(strings.ToLower(t.codec), " .\x00")}
	case t.object != 0x40 && t.object != 0x67:
		return nil, &foreign{container: mp4File, codec: "an unusual codec"}
	case t.count == 0 && m.fragments:
		return nil, &foreign{container: mp4File, codec: "sound in fragments", code: "aac"}
	case t.count == 0:
		return nil, &Error{Kind: KindEmpty, Format: "mp4", Message: "this recording holds no sound"}
	}
	s := &sound{Info: Info{Format: "mp4", Codec: "aac"}}
	samples := &mp4Samples{ra: ra, track: t, damage: &s.damage}
	d := &aacDecoder{
		frames: samples.read, config: t.config, damage: &s.damage,
		fault: func() error { return ra.fault },
	}
	if err := d.start(); err != nil {
		return nil, aacStartError(mp4File, err)
	}
	info := d.decoder.Info()
	s.SampleRate, s.Channels, d.channels = info.SampleRate, info.Channels, info.Channels
	if err := checkShape("mp4", s.SampleRate, s.Channels, opts); err != nil {
		return nil, err
	}
	skip, limit := t.bounds(m.timescale, s.SampleRate)
	s.decoder = &blocks{channels: s.Channels, skip: skip, limit: limit, next: d.next}
	return s, nil
}

func aacStartError(c container, err error) error {
	if errors.Is(err, pcm.ErrUnsupported) {
		return &foreign{container: c, codec: "AAC other than AAC-LC", code: "aac"}
	}
	return malformed(c.name, "this %s file's description of its sound is damaged: %w", c.display, err)
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
