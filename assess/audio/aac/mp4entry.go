package aac

import "encoding/binary"

// sampleEntry reads the description of the sound. QuickTime files have longer
// versions of it, with the decoder's configuration one box deeper.
func (m *mp4Movie) sampleEntry(e mp4Box, t *mp4Track) error {
	t.codec = e.name
	var p [28]byte
	if err := m.ra.ReadAt(p[:], e.start); err != nil {
		return err
	}
	inner := e.start + 28
	switch binary.BigEndian.Uint16(p[8:]) {
	case 1:
		inner += 16
	case 2:
		inner += 36
	}
	return m.each(mp4Box{start: inner, end: e.end}, func(b mp4Box) error {
		switch b.name {
		case "wave":
			return m.each(b, func(b mp4Box) error {
				if b.name == "esds" {
					return m.esds(b, t)
				}
				return nil
			})
		case "esds":
			return m.esds(b, t)
		}
		return nil
	})
}

// esds reads object type and AudioSpecificConfig out of the nested descriptors
// (ISO/IEC 14496-1, 7.2.6).
func (m *mp4Movie) esds(b mp4Box, t *mp4Track) error {
	p, err := m.content(b, 4)
	if err != nil {
		return err
	}
	p = p[4:]
	for len(p) >= 2 {
		tag, size := p[0], 0
		p = p[1:]
		for i := 0; i < 4 && len(p) > 0; i++ {
			v := p[0]
			p = p[1:]
			size = size<<7 | int(v&0x7f)
			if v&0x80 == 0 {
				break
			}
		}
		size = min(size, len(p))
		skip := size
		switch tag {
		case 3: // elementary stream: flags tell what comes before the next descriptor
			if size < 3 {
				return errMP4Damaged
			}
			flags := p[2]
			skip = 3
			if flags&0x80 != 0 {
				skip += 2
			}
			if flags&0x40 != 0 && skip < size {
				skip += 1 + int(p[skip])
			}
			if flags&0x20 != 0 {
				skip += 2
			}
		case 4: // decoder configuration
			if size < 13 {
				return errMP4Damaged
			}
			t.object, skip = p[0], 13
		case 5:
			t.config = p[:size]
			return nil
		}
		if skip > len(p) {
			return errMP4Damaged
		}
		p = p[skip:]
	}
	return nil
}
