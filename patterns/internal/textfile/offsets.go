package textfile

import "unicode/utf8"

// PlainOffsets says where each character of raw[from:to] stands: one offset a character, and one
// more for the end.
func PlainOffsets(raw []byte, from, to int) []int {
	offsets := make([]int, 0, to-from+1)
	for i := range string(raw[from:to]) {
		offsets = append(offsets, from+i)
	}
	return append(offsets, to)
}

// Width is how many bytes the first character of a text has.
func Width(text []byte) int {
	_, width := utf8.DecodeRune(text)
	return width
}
