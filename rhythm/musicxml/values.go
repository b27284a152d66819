package musicxml

import (
	"math/bits"

	"clapladder.example/rhythm"
)

// typeNames are the note types by their share of a whole note, as a power of two: typeNames[2] is a
// quarter.
var typeNames = []string{
	"whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th",
	"256th", "512th", "1024th",
}

// division is how a beat of n boxes is written.
type division struct {
	boxes  int // in the beat
	normal int // boxes' worth of plain notes that fill the beat; equal to boxes where there is no tuplet
	shift  int // type of one box: typeNames[shift]
}

// divide finds the plain note values for a beat of the given units, written unit unit, in n boxes.
func divide(units, unit, n int) division {
	// A beat of one or two units is a plain note, one of three a dotted one: it divides into 3, 6,
	// 12 plain notes.
	thirds := 1
	if units == 3 {
		thirds = 3
	}
	normal := thirds
	for normal*2 <= n {
		normal *= 2
	}
	if n == 1 {
		normal = 1
	}
	// normal boxes fill units/unit of a whole note, so one is units/(unit*normal).
	box := unit * normal / units
	if units == 3 && n == 1 {
		box = unit / 2 // a dotted note counts three units as a note of two and its dot
	}
	return division{boxes: n, normal: normal, shift: bits.Len(uint(box)) - 1}
}

// tuplet reports whether the beat needs a time modification.
func (d division) tuplet() bool { return d.boxes != d.normal }

// value is a written note or rest.
type value struct {
	boxes int
	name  string
	dots  int
}

// longest is the longest single value of at most n boxes, plain or dotted.
func (d division) longest(n int) value {
	power := bits.Len(uint(n)) - 1
	v := value{boxes: 1 << power, dots: 0}
	if power > 0 && n >= 3<<(power-1) {
		v.boxes, v.dots = 3<<(power-1), 1
	}
	v.name = typeNames[d.shift-power]
	return v
}

// wholeBeat is the value that fills a beat of one box.
func (d division) wholeBeat(units int) value {
	v := value{boxes: 1, name: typeNames[d.shift]}
	if units == 3 {
		v.dots = 1
	}
	return v
}

// values cuts n boxes into written values, the longest first, so that a note comes before its
// rests. Whole beats of one box are one value.
func (d division) values(n, units int) []value {
	if d.boxes == 1 {
		return []value{d.wholeBeat(units)}
	}
	var out []value
	for n > 0 {
		v := d.longest(n)
		out = append(out, v)
		n -= v.boxes
	}
	return out
}

// soundIDs are the standard sounds of MusicXML for the body sounds.
var soundIDs = [...]string{
	rhythm.Clap: "effect.hand-clap", rhythm.Stamp: "effect.stamp",
	rhythm.Pat: "effect.slap", rhythm.Snap: "effect.snap",
}

// soundNames are the instrument names in a score.
var soundNames = [...]string{
	rhythm.Clap: "Hand clap", rhythm.Stamp: "Stamp",
	rhythm.Pat: "Pat on the thighs", rhythm.Snap: "Finger snap",
}

// midiUnpitched are the keys of the percussion channel, counted from 1 as MusicXML does: General
// MIDI 39, 36, 41, 37.
var midiUnpitched = [...]int{rhythm.Clap: 40, rhythm.Stamp: 37, rhythm.Pat: 42, rhythm.Snap: 38}
