package midifile

import (
	"cmp"
	"slices"
	"sort"
)

// defaultMicros is the length of a quarter note until the first tempo event: 120 quarters a minute
// (SMF 1.0).
const defaultMicros = 500000

// tempoChange is a tempo from a tick on.
type tempoChange struct {
	ticks   int64
	seconds float64 // time of the change
	micros  int     // microseconds a quarter note
}

// tempoMap turns ticks into seconds.
type tempoMap struct {
	perQuarter float64 // ticks
	perSecond  float64 // ticks; only for files that count frames
	changes    []tempoChange
}

// tempos collects the tempo events of all tracks.
func (f *file) tempos() tempoMap {
	if f.division&0x8000 != 0 {
		return tempoMap{perSecond: f.frames() * float64(f.division&0xff)}
	}
	m := tempoMap{perQuarter: float64(f.division), changes: []tempoChange{{micros: defaultMicros}}}
	for _, t := range f.tracks {
		for _, e := range t.events {
			if micros := tempoOf(e.message); micros > 0 {
				m.changes = append(m.changes, tempoChange{ticks: e.ticks, micros: micros})
			}
		}
	}
	slices.SortStableFunc(m.changes, func(a, b tempoChange) int { return cmp.Compare(a.ticks, b.ticks) })
	for i := 1; i < len(m.changes); i++ {
		before := m.changes[i-1]
		m.changes[i].seconds = before.seconds + m.span(m.changes[i].ticks-before.ticks, before.micros)
	}
	return m
}

func (m tempoMap) span(ticks int64, micros int) float64 {
	return float64(ticks) * float64(micros) / 1e6 / m.perQuarter
}

// at is the change in force at a tick.
func (m tempoMap) at(ticks int64) tempoChange {
	i := sort.Search(len(m.changes), func(i int) bool { return m.changes[i].ticks > ticks })
	return m.changes[i-1]
}

// seconds is the time of a tick from the start of the file.
func (m tempoMap) seconds(ticks int64) float64 {
	if m.perSecond > 0 {
		return float64(ticks) / m.perSecond
	}
	change := m.at(ticks)
	return change.seconds + m.span(ticks-change.ticks, change.micros)
}

// tempoOf is the length of a quarter note in microseconds from FF 51 03, 0 for other messages.
func tempoOf(message []byte) int {
	if len(message) != 6 || message[0] != 0xff || message[1] != 0x51 {
		return 0
	}
	return int(message[3])<<16 | int(message[4])<<8 | int(message[5])
}
