// Package rhythm holds clap phrases: metre, strokes, exact positions, and the box notation in which
// people write them.
//
// # Notation
//
// One character is one box; a box is one equal division of a beat. Box notation follows common
// practice in the teaching of West African drumming (Harland 1962, Koetting 1970: the time-unit box
// system).
//
//	phrase  = bar { "|" bar }            a leading or trailing "|" is ignored
//	bar     = beat { space beat }        as many beats as the metre has
//	        | run                        one unbroken run that divides the whole bar equally
//	beat    = box { box }                1 to 16 boxes that divide the beat equally
//	box     = "x" | "s" | "p" | "n"      clap, stamp, pat on the thighs, snap of the fingers
//	        | "X" | "S" | "P" | "N"      the same, accented
//	        | "." | "-"                  empty
//
// Any white space separates beats, line breaks too. A bar written as one run has a multiple of the
// bar's number of beats as its length (of its units in additive metres): "x..x..x...x.x..." is a
// bar of 4/4, and "xxxx" in 4/4 is four quarters, not four sixteenths. A pickup is written as a
// full bar that begins with silent beats.
//
// # Metre
//
//	"4/4" "3/4" "2/2"      simple: the beat is the written unit
//	"6/8" "9/8" "12/8"     compound: a beat is three eighths; so is the single beat of "3/8"
//	"7/8=2+2+3"            additive: beats of two and three eighths
//	"5/4=3+2"              simple, with the strong beats marked
//
// Tempo counts beats a minute. Where beats differ in length (additive metres) it counts quarters.
//
// # Positions
//
// A position is a whole number of steps from the start of bar 1 on a grid that the phrase chooses
// for itself: the coarsest that holds every stroke and every beat. Thirds of a beat and sixteenths
// are therefore both exact. Seconds appear only where a step is turned into time ([Phrase.Seconds],
// [TimeMap]).
//
// Values of this package are immutable once made and safe for concurrent use. Slices they return
// are shared and must not be changed.
package rhythm
