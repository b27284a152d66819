// Package patterns holds a leader's bank and repertoire as graded material: every phrase and piece
// on the tier scale, what the bank lacks, and what results of groups teach about it.
//
// Files are read and written by package bank; package difficulty holds the model. Placings in the
// file win over the model.
//
// Values of this package may be read by several goroutines at once.
package patterns
