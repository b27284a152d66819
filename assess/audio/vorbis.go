package audio

import (
	"errors"

	"github.com/jfreymuth/vorbis"
)

// openVorbis opens an Ogg Vorbis stream whose first page has been read.
func openVorbis(o *oggReader, opts Options) (*sound, error) {
	head, err := o.next()
	if err != nil || len(head.data) < 30 {
		return nil, truncatedHeader("ogg")
	}
	var d vorbis.Decoder
	short, long := head.data[28]&15, head.data[28]>>4
	if short < 6 || long > 13 || short > long {
		return nil, malformed("ogg", "this Vorbis file's header is damaged")
	}
	if err := d.ReadHeader(head.data); err != nil {
		return nil, malformed("ogg", "this Vorbis file's header is damaged: %w", err)
	}
	rate, channels := d.SampleRate(), d.Channels()
	if err := checkShape("ogg", rate, channels, opts); err != nil {
		return nil, err
	}
	// The comments are of no use here and their sizes not to be believed.
	if _, err := o.next(); err != nil {
		return nil, truncatedHeader("ogg")
	}
	setup, err := o.next()
	if err != nil {
		return nil, truncatedHeader("ogg")
	}
	err = checkCodebooks(setup.data)
	if err == nil {
		err = safely(func() error { return d.ReadHeader(setup.data) })
	}
	if err == nil && !d.HeadersRead() {
		err = errors.New("no codebooks")
	}
	if err != nil {
		return nil, malformed("ogg", "this Vorbis file's codebooks are damaged: %w", err)
	}
	s := &sound{Info: Info{Format: "ogg", Codec: "vorbis", SampleRate: rate, Channels: channels}}
	out := make([]float32, d.BufferSize())
	audio := &oggAudio{
		packets: o, channels: channels, rate: rate, damage: &s.damage, cutFront: true,
		lost:   d.Clear,
		decode: func(packet []byte) ([]float32, error) { return d.DecodeInto(packet, out) },
	}
	s.decoder = &blocks{channels: channels, next: audio.next}
	return s, nil
}

// checkCodebooks reads the codebooks of a Vorbis setup header (Vorbis I
// specification, section 3.2.1) without building them, and refuses those whose
// claimed size is not borne out by the header's length. The decoder would
// allocate whatever they claim, up to terabytes.
func checkCodebooks(packet []byte) error {
	const most = 1 << 22 // values of all books; encoders use some ten thousand
	if len(packet) < 8 {
		return errors.New("too short")
	}
	r := lowBits{b: packet[7:]}
	total := 0
	for range r.take(8) + 1 {
		if r.take(24) != 0x564342 {
			return errors.New("codebook without its mark")
		}
		dimensions, entries := r.take(16), r.take(24)
		if !r.entryLengths(entries) {
			return errors.New("more entries than the header holds")
		}
		lookup := r.take(4)
		if lookup == 0 {
			continue
		}
		if lookup > 2 || dimensions == 0 {
			return errors.New("unknown kind of codebook")
		}
		if entries > most/dimensions {
			return errors.New("codebooks too large")
		}
		if total += entries * dimensions; total > most {
			return errors.New("codebooks too large")
		}
		r.take(64)
		bits := r.take(4) + 1
		r.take(1)
		values := entries * dimensions
		if lookup == 1 {
			values = lookupValues(entries, dimensions)
		}
		r.at += values * bits
		if r.at > 8*len(r.b) {
			return errors.New("header ends in a codebook")
		}
	}
	return nil
}

// entryLengths passes over the lengths of the code words.
func (r *lowBits) entryLengths(entries int) bool {
	if r.take(1) == 1 { // ordered: counts of equal lengths
		r.take(5)
		for done := 0; done < entries; {
			n := 0
			for left := entries - done; left > 0; left >>= 1 {
				n++
			}
			count := r.take(n)
			if count > entries-done || r.at > 8*len(r.b) {
				return false
			}
			done += count
		}
		// The builder's tables grow with the number of entries.
		return entries <= 1<<18
	}
	sparse := r.take(1) == 1
	for range entries {
		if sparse && r.take(1) == 0 {
			continue
		}
		r.take(5)
		if r.at > 8*len(r.b) {
			return false
		}
	}
	return r.at <= 8*len(r.b)
}

// lookupValues is the largest n with n^dimensions <= entries.
func lookupValues(entries, dimensions int) int {
	n := 0
	for {
		product := 1
		for range dimensions {
			if product *= n + 1; product > entries {
				return n
			}
		}
		if n++; dimensions == 0 || n > entries {
			return n
		}
	}
}

// lowBits reads bits from the low end of each byte, as Vorbis packs them. Beyond
// the end it reads zeros; at tells how far.
type lowBits struct {
	b  []byte
	at int
}

func (r *lowBits) take(n int) int {
	v := 0
	for i := range n {
		if k := r.at / 8; k < len(r.b) && r.b[k]>>(r.at%8)&1 == 1 && i < 63 {
			v |= 1 << i
		}
		r.at++
	}
	return v
}
