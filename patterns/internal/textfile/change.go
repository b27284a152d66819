package textfile

import (
	"bytes"
	"cmp"
	"slices"
)

// Edit gives a key of a phrase a new value, written as the file writes numbers; an empty one takes
// the key out.
type Edit struct {
	ID, Key string // of the phrase, and of the table
	Value   string // as the file writes it
}

// Changes of a text, at places that don't overlap. The zero value has none.
type Changes []change

// change puts text in place of what stands from start to end.
type change struct {
	start, end int
	text       string
}

// Put puts text in place of what stands from one offset up to another; where both are the same
// nothing is taken out.
func (c *Changes) Put(start, end int, text string) { *c = append(*c, change{start, end, text}) }

// Apply carries out the changes; several insertions at one place come in their order, before a
// removal there. The text given is not changed.
func (c Changes) Apply(text []byte) []byte {
	ordered := slices.SortedStableFunc(slices.Values(c), func(a, b change) int {
		return cmp.Or(a.start-b.start, a.end-b.end)
	})
	var out []byte
	at := 0
	for _, one := range ordered {
		out = append(append(out, text[at:one.start]...), one.text...)
		at = one.end
	}
	return append(out, text[at:]...)
}

// LineBreak is what ends the first line of a text.
func LineBreak(text []byte) string {
	if i := bytes.IndexByte(text, '\n'); i > 0 && text[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}
