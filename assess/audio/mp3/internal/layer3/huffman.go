package layer3

import "strings"

// code is a Huffman code as tables to look words up in: the first one by the first bits of what
// comes, each further one by the bits behind those.
type code struct {
	width   int // bits of the first table
	entries []entry
}

// entry is a word's number of bits in the lowest byte and its two values in the next two; or, where
// link is set, where a further table begins and, from bit 24 on, the number of its bits.
type entry uint32

const (
	link      entry = 1 << 31
	mostWidth       = 8 // of a table
)

// read is the word at the front of some bits: its values and its length.
func (c *code) read(ahead uint64) (x, y, n int) {
	width := c.width
	e := c.entries[ahead>>(64-width)]
	for e&link != 0 {
		ahead <<= width
		n += width
		width = int(e >> 24 & 31)
		e = c.entries[int(e&0xffffff)+int(ahead>>(64-width))]
	}
	return int(e >> 8 & 15), int(e >> 16 & 15), n + int(e&255)
}

// word is one word of a code: its first bits, the first one highest, and its length.
type word struct {
	bits      uint32
	length    int
	values    entry // in their place
	remaining int   // bits that are not looked up yet
}

// newCode makes the tables of a code written down as in [codeWords].
func newCode(written string) code {
	const digits = "0123456789abcdefghijklmnopqrstuvwxyz"
	words := make([]word, 0, len(written)/3)
	next := uint64(0)
	for ; written != ""; written = written[3:] {
		n := strings.IndexByte(digits, written[0])
		x, y := strings.IndexByte(digits, written[1]), strings.IndexByte(digits, written[2])
		words = append(words, word{uint32(next), n, entry(x)<<8 | entry(y)<<16, n})
		next += 1 << (32 - n)
	}
	var c code
	_, c.width = c.add(words)
	return c
}

// add appends a table of words and those behind it.
func (c *code) add(words []word) (start, width int) {
	for _, w := range words {
		width = max(width, w.remaining)
	}
	width = min(width, mostWidth)
	start = len(c.entries)
	c.entries = append(c.entries, make([]entry, 1<<width)...)
	for len(words) > 0 {
		w := words[0]
		at := start + int(w.bits>>(32-width))
		if w.remaining <= width {
			for i := range 1 << (width - w.remaining) {
				c.entries[at+i] = w.values | entry(w.remaining)
			}
			words = words[1:]
			continue
		}
		n := 0 // words with the same bits so far
		var behind []word
		for n < len(words) && words[n].bits>>(32-width) == w.bits>>(32-width) {
			b := words[n]
			b.bits, b.remaining = b.bits<<width, b.remaining-width
			behind = append(behind, b)
			n++
		}
		further, bits := c.add(behind)
		c.entries[at] = link | entry(bits)<<24 | entry(further)
		words = words[n:]
	}
	return start, width
}

// pairCode is one of the 32 codes of pairs: a code, and how many bits are added to a value of 15.
type pairCode struct {
	*code
	extra int
}

var (
	quadCodes = [2]code{newCode(quadWords[0]), newCode(quadWords[1])}
	pairCodes = func() (all [32]pairCode) {
		made := map[int]*code{}
		for n, written := range codeWords {
			c := newCode(written)
			made[n] = &c
		}
		extra := [16]int{1, 2, 3, 4, 6, 8, 10, 13, 4, 5, 6, 7, 8, 9, 11, 13} // of 16 to 31
		for n := range all {
			switch {
			case n >= 24:
				all[n] = pairCode{made[24], extra[n-16]}
			case n >= 16:
				all[n] = pairCode{made[16], extra[n-16]}
			default:
				all[n] = pairCode{made[n], 0}
			}
		}
		return all
	}()
)
