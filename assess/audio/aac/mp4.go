package aac

import (
	"encoding/binary"
	"errors"

	"clapladder.example/assess/audio/internal/codec"
)

// mp4Box is one box of an ISO base media file (ISO/IEC 14496-12): its name and
// where its content lies.
type mp4Box struct {
	name       string
	start, end int64
}

// mp4Track is what is needed to decode one sound track.
type mp4Track struct {
	codec     string // sample entry, such as "mp4a" or "alac"
	object    byte   // object type of esds: 0x40 MPEG-4 audio
	config    []byte // AudioSpecificConfig
	timescale uint32
	edits     []mp4Edit
	sizes     []uint32 // of the samples, in bytes
	fixed     uint32   // size of all samples, if sizes is nil
	count     int
	chunks    []uint64 // offsets in the file
	runs      []mp4Run // samples in each chunk
}

type mp4Edit struct {
	duration  uint64 // in the movie's timescale
	mediaTime int64  // in the track's timescale, -1 for an empty edit
}

type mp4Run struct{ firstChunk, samples uint32 }

// mp4Movie finds the sound track.
type mp4Movie struct {
	ra        *codec.RandomAccess
	timescale uint32 // of the movie
	fragments bool
	tracks    []*mp4Track
}

// maxMP4Samples is some 40 hours of AAC at 48 kHz; its table takes 26 MB.
const maxMP4Samples = 6_500_000

var errMP4Damaged = errors.New("damaged box")

func parseMP4(ra *codec.RandomAccess) (*mp4Movie, error) {
	m := &mp4Movie{ra: ra}
	moov, mdat := false, false
	err := m.each(mp4Box{end: ra.Size()}, func(b mp4Box) error {
		switch b.name {
		case "moov":
			moov = true
			return m.movie(b)
		case "moof":
			m.fragments = true
		case "mdat":
			mdat = true
		}
		return nil
	})
	switch {
	case err != nil && !errors.Is(err, errMP4Damaged) && !codec.IsEnd(err):
		return nil, err
	case !moov && mdat:
		return nil, &codec.Error{
			Kind: codec.KindMalformed, Format: "mp4",
			Message: "this recording was never finished: its index is missing",
			Advice:  "open it once in the app that recorded it and export it again",
		}
	case !moov:
		return nil, codec.TruncatedHeader("mp4")
	}
	return m, nil
}

// each calls f for the boxes inside parent. A box that claims more than its
// parent holds ends there.
func (m *mp4Movie) each(parent mp4Box, f func(mp4Box) error) error {
	for at := parent.start; at+8 <= parent.end; {
		var h [16]byte
		if err := m.ra.ReadAt(h[:8], at); err != nil {
			return err
		}
		b := mp4Box{name: string(h[4:8]), start: at + 8}
		size := int64(binary.BigEndian.Uint32(h[:]))
		switch size {
		case 0:
			size = parent.end - at
		case 1:
			if err := m.ra.ReadAt(h[8:], at+8); err != nil {
				return err
			}
			size = int64(binary.BigEndian.Uint64(h[8:]))
			b.start += 8
		}
		if size < b.start-at {
			return errMP4Damaged
		}
		if size > parent.end-at {
			size = parent.end - at
		}
		b.end = at + size
		if b.start > b.end {
			return errMP4Damaged
		}
		if err := f(b); err != nil {
			return err
		}
		at = b.end
	}
	return nil
}

// content reads a small box whole.
func (m *mp4Movie) content(b mp4Box, least int) ([]byte, error) {
	const most = 64 << 10
	size := b.end - b.start
	if size < int64(least) || size > most {
		return nil, errMP4Damaged
	}
	p := make([]byte, size)
	return p, m.ra.ReadAt(p, b.start)
}

func (m *mp4Movie) movie(moov mp4Box) error {
	return m.each(moov, func(b mp4Box) error {
		switch b.name {
		case "mvhd":
			p, err := m.content(b, 20)
			if err != nil {
				return err
			}
			m.timescale = binary.BigEndian.Uint32(p[12:])
			if p[0] == 1 && len(p) >= 24 {
				m.timescale = binary.BigEndian.Uint32(p[20:])
			}
		case "mvex":
			m.fragments = true
		case "trak":
			if len(m.tracks) >= 64 {
				return errMP4Damaged
			}
			t := &mp4Track{}
			if err := m.track(b, t); err != nil && !errors.Is(err, errMP4Damaged) {
				return err
			}
			if t.codec != "" {
				m.tracks = append(m.tracks, t)
			}
		}
		return nil
	})
}

// track walks through the boxes of one track that matter here.
func (m *mp4Movie) track(parent mp4Box, t *mp4Track) error {
	return m.each(parent, func(b mp4Box) error {
		switch b.name {
		case "edts", "mdia", "minf", "stbl":
			return m.track(b, t)
		case "hdlr":
			p, err := m.content(b, 12)
			if err == nil && parent.name == "mdia" && string(p[8:12]) != "soun" {
				return errMP4Damaged // not sound: leave this track
			}
		case "mdhd":
			p, err := m.content(b, 16)
			if err != nil {
				return err
			}
			t.timescale = binary.BigEndian.Uint32(p[12:])
			if p[0] == 1 && len(p) >= 24 {
				t.timescale = binary.BigEndian.Uint32(p[20:])
			}
		case "elst":
			return m.editList(b, t)
		case "stsd":
			return m.each(mp4Box{name: b.name, start: b.start + 8, end: b.end}, func(e mp4Box) error {
				if t.codec != "" {
					return nil // only the first description is used
				}
				return m.sampleEntry(e, t)
			})
		case "stsz":
			return m.sampleSizes(b, t)
		case "stco", "co64":
			return m.chunkOffsets(b, t)
		case "stsc":
			return m.sampleRuns(b, t)
		}
		return nil
	})
}

func (m *mp4Movie) editList(b mp4Box, t *mp4Track) error {
	p, err := m.content(b, 8)
	if err != nil {
		return err
	}
	entry := 12
	if p[0] == 1 {
		entry = 20
	}
	count := int64(binary.BigEndian.Uint32(p[4:]))
	for p = p[8:]; count > 0 && len(p) >= entry; count, p = count-1, p[entry:] {
		e := mp4Edit{uint64(binary.BigEndian.Uint32(p)), int64(int32(binary.BigEndian.Uint32(p[4:])))}
		if entry == 20 {
			e = mp4Edit{binary.BigEndian.Uint64(p), int64(binary.BigEndian.Uint64(p[8:]))}
		}
		t.edits = append(t.edits, e)
	}
	return nil
}
