// Package musicxml reads and writes clap phrases as MusicXML 4.0 (W3C Community Group), plain
// (.musicxml) and compressed (.mxl).
//
// # Writing
//
// A phrase becomes one part on a one-line percussion staff: unpitched notes with x heads,
// instrument sounds effect.hand-clap, effect.stamp, effect.slap (a pat on the thighs) and
// effect.snap, midi-unpitched one above the General MIDI key, as the format counts from 1. A stroke
// is written as long as its beat lasts or until the next stroke, in plain, dotted and tuplet values
// with rests for what is left: boxes say when a sound starts, so nothing is tied over. Body sounds
// of a beat share a voice. Accents, metre (additive as 2+2+3) and tempo are kept.
//
// # Reading
//
// Any score in partwise form gives a phrase: the onsets of the first part that has notes, or of a
// named one, all voices and staves together. Pitch and length don't matter. A tied note is one
// stroke; grace notes, cue notes, lyrics and ornaments are passed over; repeats are not played out.
// An accent mark (accent or strong-accent) makes an accent, instrument sounds that name a stamp,
// slap or snap make that body sound, everything else is a clap. A first bar shorter than the metre
// that is marked implicit or numbered 0 is a pickup: it becomes a full bar that begins silent.
// Whole silent bars are kept.
//
// A file may not do harm by its size: at most 8 MiB of XML, also inside an .mxl, and at most 1000
// files in that.
package musicxml
