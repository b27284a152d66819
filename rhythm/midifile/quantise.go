package midifile

import (
	"cmp"
	"math"
	"slices"

	"clapladder.example/rhythm/internal/midiwrite"

	"clapladder.example/rhythm"
)

// fineUnit is the number of steps in a written unit: the least common multiple of 1 to 16.
const fineUnit = 720720

const (
	early   = 0.06  // how far off its box a played note may be, in beats
	perRank = 0.012 // what a rarer division of the beat costs, as an error in beats
)

// Divisions in the order in which they are tried.
var (
	anyDivision  = []int{1, 2, 4, 3, 8, 6, 16, 12, 5, 7, 9, 10, 11, 13, 14, 15}
	playedTwos   = []int{1, 2, 4, 3, 6, 8}
	playedThrees = []int{1, 3, 2, 6, 12}
)

// strictness is how closely notes must lie on boxes.
type strictness uint8

const (
	exact strictness = iota
	halfTick
	played
)

// quantise sets the notes on the boxes of their beats, as the package comment says.
func (s score) quantise(notes []note) []rhythm.Stroke {
	for _, how := range []strictness{exact, halfTick} {
		if strokes, ok := s.fit(notes, how); ok {
			return strokes
		}
	}
	strokes, _ := s.fit(notes, played)
	return strokes
}

// fit sets the notes on boxes at one strictness; ok is false where a beat has no fitting division.
func (s score) fit(notes []note, how strictness) (strokes []rhythm.Stroke, ok bool) {
	loud := func(n note) bool { return n.velocity >= midiwrite.AccentFrom }
	if !slices.ContainsFunc(notes, func(n note) bool { return n.velocity != 127 }) {
		loud = func(note) bool { return false }
	}
	perBar := s.meter.Beats()
	at, step, k := s.start, 0, 0
	for beat := range s.bars * perBar {
		units := s.meter.BeatUnits(beat % perBar)
		length := int64(units) * s.unit
		lead := int64(0) // how long before the next beat a note belongs to it
		switch how {
		case halfTick:
			lead = s.tick() / 2
		case played:
			lead = int64(early * float64(length))
		}
		from := k
		for k < len(notes) && notes[k].ticks*s.tick() < at+length-lead {
			k++
		}
		b := beatNotes{notes: notes[from:k], start: at, length: length, tick: s.tick()}
		n, found := b.division(how, units)
		if !found {
			return nil, false
		}
		width := units * fineUnit / n
		taken, kept := -1, note{}
		for _, note := range b.notes {
			box := min(b.box(note, n), n-1)
			if box == taken {
				if !note.louder(kept) {
					continue
				}
				strokes = strokes[:len(strokes)-1]
			}
			taken, kept = box, note
			strokes = append(strokes, rhythm.Stroke{
				Step: step + box*width, Sound: note.sound,
				Accent: loud(note),
			})
		}
		at += length
		step += units * fineUnit
	}
	return strokes, true
}

// beatNotes are the notes of one beat.
type beatNotes struct {
	notes         []note
	start, length int64 // parts of a tick
	tick          int64
}

// offset is the place of a note after the start of the beat, at least 0.
func (b beatNotes) offset(n note) int64 { return max(0, n.ticks*b.tick-b.start) }

// box is the nearest of n boxes; n itself is the next beat.
func (b beatNotes) box(note note, n int) int {
	return int((2*b.offset(note)*int64(n) + b.length) / (2 * b.length))
}

// miss is how far a note lies from its box of n, as a share of the beat.
func (b beatNotes) miss(note note, n int) float64 {
	return math.Abs(float64(b.offset(note))/float64(b.length) - float64(b.box(note, n))/float64(n))
}

// division is the number of boxes for the beat. Only as played it is always found.
func (b beatNotes) division(how strictness, units int) (n int, found bool) {
	if len(b.notes) == 0 {
		return 1, true
	}
	switch how {
	case exact:
		for n := 1; n <= rhythm.MaxBoxesPerBeat; n++ {
			if !slices.ContainsFunc(b.notes,
				func(note note) bool { return b.offset(note)*int64(n)%b.length != 0 }) {
				return n, true
			}
		}
		return 0, false
	case halfTick:
		for _, n := range anyDivision {
			if worst, alone := b.worst(n); alone && worst*float64(b.length) <= float64(b.tick)/2+1e-6 {
				return n, true
			}
		}
		return 0, false
	}
	order := playedTwos
	if units == 3 {
		order = playedThrees
	}
	best, nearest := math.Inf(1), math.Inf(1)
	fallback := 1
	for rank, candidate := range order {
		worst, alone := b.worst(candidate)
		if cost := worst + perRank*float64(rank); alone && worst <= early && cost < best {
			n, best = candidate, cost
		}
		if worst < nearest {
			fallback, nearest = candidate, worst
		}
	}
	n = cmp.Or(n, fallback)
	return n, true
}

// worst is the largest miss with n boxes, and whether every note has a box of its own inside the
// beat.
func (b beatNotes) worst(n int) (miss float64, alone bool) {
	alone = true
	last := -1
	for _, note := range b.notes {
		box := b.box(note, n)
		alone = alone && box != last && box < n
		last = box
		miss = max(miss, b.miss(note, n))
	}
	return miss, alone
}
