package ogg

import (
	"errors"
	"math"
	"math/bits"
)

// checkSetup reads a Vorbis setup header (Vorbis I specification, section 4.2.4)
// as far as the decoder believes what it claims, which may cost gigabytes: the
// sizes of codebooks and the ranges of residues.
func checkSetup(packet []byte) error {
	if len(packet) < 8 {
		return errors.New("too short")
	}
	r := lowBits{b: packet[7:]}
	if err := r.codebooks(); err != nil {
		return err
	}
	for range r.take(6) + 1 { // time domain transforms, of which there is no kind yet
		r.take(16)
	}
	for range r.take(6) + 1 {
		if !r.floor() {
			return errors.New("unknown kind of floor")
		}
	}
	for range r.take(6) + 1 {
		if !r.residue() {
			return errors.New("residue that ends before it begins")
		}
	}
	if r.at > 8*len(r.b) {
		return errors.New("header ends before its residues")
	}
	return nil
}

// floor passes over a floor (sections 6.2.1 and 7.2.2).
func (r *lowBits) floor() bool {
	switch r.take(16) {
	case 0:
		r.take(8 + 16 + 16 + 6 + 8)
		r.take(8 * (r.take(4) + 1))
	case 1:
		var classes []int
		highest := 0
		for range r.take(5) {
			classes = append(classes, r.take(4))
			highest = max(highest, classes[len(classes)-1])
		}
		dimensions := make([]int, highest+1)
		for c := range dimensions {
			dimensions[c] = r.take(3) + 1
			subclasses := r.take(2)
			if subclasses > 0 {
				r.take(8)
			}
			r.take(8 << subclasses)
		}
		r.take(2)
		bits := r.take(4)
		for _, c := range classes {
			r.take(dimensions[c] * bits)
		}
	default:
		return false
	}
	return true
}

// residue passes over a residue (section 8.6.1). It reports whether its end lies
// behind its beginning: the decoder subtracts them.
func (r *lowBits) residue() bool {
	r.take(16)
	begin, end := r.take(24), r.take(24)
	r.take(24)
	classifications := r.take(6) + 1
	r.take(8)
	books := 0
	for range classifications {
		cascade := r.take(3)
		if r.take(1) == 1 {
			cascade |= r.take(5) << 3
		}
		books += bits.OnesCount(uint(cascade))
	}
	r.take(8 * books)
	return begin <= end
}

// codebooks passes over the codebooks (section 3.2.1) without building them, and
// refuses those whose claimed size is not borne out by the header's length. The
// decoder would allocate whatever they claim, up to terabytes.
func (r *lowBits) codebooks() error {
	const (
		most           = 1 << 22 // values of all books; encoders use some ten thousand
		mostDimensions = 64      // encoders use up to 16; the decoder spends time on each in every packet
	)
	total := 0
	for range r.take(8) + 1 {
		if r.take(24) != 0x564342 {
			return errors.New("codebook without its mark")
		}
		dimensions, entries := r.take(16), r.take(24)
		if dimensions > mostDimensions || entries == 0 {
			return errors.New("codebook of an impossible size")
		}
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
			if values != int(math.Floor(math.Pow(float64(entries), 1/float64(dimensions)))) {
				return errors.New("codebook that the decoder would misread") // it reckons like this
			}
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
	used := 0
	for range entries {
		if sparse && r.take(1) == 0 {
			continue
		}
		used++
		r.take(5)
		if r.at > 8*len(r.b) {
			return false
		}
	}
	return used > 0 && r.at <= 8*len(r.b) // in a book of no words the decoder would look for one for ever
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
