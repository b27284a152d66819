// Package patterns holds what a leader has to offer: the bank of phrases to call and the repertoire of pieces to play,
// read from and written to files that people edit, and how hard each is.
package patterns
