package aac

import (
	"encoding/binary"

	"clapladder.example/assess/audio/internal/codec"
)

// table reads count entries of the given size, as many as the box truly holds.
func (m *mp4Movie) table(b mp4Box, header int64, entry int, f func(p []byte)) (int, error) {
	h := make([]byte, header)
	if b.end-b.start < header {
		return 0, errMP4Damaged
	}
	if err := m.ra.ReadAt(h, b.start); err != nil {
		return 0, err
	}
	count := int64(binary.BigEndian.Uint32(h[header-4:]))
	if count > maxMP4Samples {
		return 0, &codec.Error{
			Kind: codec.KindLimit, Format: "mp4", Limit: "max-duration",
			Message: "this recording claims to be longer than 40 hours", Advice: "cut it into parts",
		}
	}
	count = min(count, (b.end-b.start-header)/int64(entry))
	buf := make([]byte, 0, 16<<10)
	at := b.start + header
	for left := count; left > 0; {
		n := min(left, int64(cap(buf)/entry))
		buf = buf[:n*int64(entry)]
		if err := m.ra.ReadAt(buf, at); err != nil {
			return 0, err
		}
		for i := range int(n) {
			f(buf[i*entry : (i+1)*entry])
		}
		at += int64(len(buf))
		left -= n
	}
	return int(count), nil
}

func (m *mp4Movie) sampleSizes(b mp4Box, t *mp4Track) error {
	var p [12]byte
	if err := m.ra.ReadAt(p[:], b.start); err != nil {
		return err
	}
	if t.fixed = binary.BigEndian.Uint32(p[4:]); t.fixed != 0 {
		t.count = int(min(binary.BigEndian.Uint32(p[8:]), maxMP4Samples))
		return nil
	}
	var err error
	t.count, err = m.table(b, 12, 4, func(p []byte) { t.sizes = append(t.sizes, binary.BigEndian.Uint32(p)) })
	return err
}

func (m *mp4Movie) chunkOffsets(b mp4Box, t *mp4Track) error {
	entry := 4
	if b.name == "co64" {
		entry = 8
	}
	_, err := m.table(b, 8, entry, func(p []byte) {
		if entry == 8 {
			t.chunks = append(t.chunks, binary.BigEndian.Uint64(p))
		} else {
			t.chunks = append(t.chunks, uint64(binary.BigEndian.Uint32(p)))
		}
	})
	return err
}

func (m *mp4Movie) sampleRuns(b mp4Box, t *mp4Track) error {
	_, err := m.table(b, 8, 12, func(p []byte) {
		t.runs = append(t.runs, mp4Run{binary.BigEndian.Uint32(p), binary.BigEndian.Uint32(p[4:])})
	})
	return err
}
