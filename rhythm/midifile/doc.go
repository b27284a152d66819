// Package midifile reads and writes clap phrases as Standard MIDI Files 1.0, and reads plain taps.
//
// # Writing
//
// A phrase becomes a file of format 1 with three tracks: tempo, metre and markers; a count-in bar
// on the wood blocks; the phrase on the percussion channel (10). A clap is key 39 of General MIDI,
// hand clap; a stamp key 36, bass drum; a pat 41, low floor tom; a snap 37, side stick. General
// MIDI names only the first; the others are our own choice among keys that every player has. A
// stroke has velocity 88, an accented one 120. Package sound writes a whole order of calls, with
// answers, count-in and click.
//
// # Reading
//
// Any line of notes becomes a phrase, played or written. Its onsets are set on the boxes of each
// beat by this rule, applied to the whole phrase at the first of three strictnesses that fits it
// all:
//
//  1. Exactly: the fewest boxes, 1 to 16, on which all onsets of a beat lie to the tick.
//  2. To half a tick, for files whose ticks don't divide the beat.
//  3. As played: of the divisions 1, 2, 4, 3, 6 and 8 boxes (in beats of three units 1, 3, 2, 6 and
//  12. those that have every onset within 0.06 beat of a box of its own, the one whose largest
//     error, plus 0.012 beat for each place in this order, is smallest; where none has, the one
//     with the smallest error, and onsets that fall into one box become one stroke. An onset within
//     0.06 beat before a beat belongs to that beat. These figures are our own choice.
//
// Notes at one place are one stroke, the loudest. On channel 10 keys 35 and 36 are stamps, 41 and
// 43 pats, 37 a snap; everything else is a clap. A note of velocity 112 or more is accented, unless
// all notes have velocity 127, the usual setting of programs that know no loudness.
//
// The phrase begins at the marker "phrase" and ends at the marker "answer" or "end" where the file
// has them, as ours do; otherwise it is the bars from the first to the last with a note. A time
// signature does not say how seven eighths are grouped: a text event "meter 7/8=2+2+3" does, as in
// our files; otherwise groups of two come first and a three last.
package midifile
