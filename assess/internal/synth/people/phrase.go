// Package people is who claps: a group's people with their levels, timing and loudness, the phrases
// they are given, and the mistakes that they make of them.
//
// Positions are beats from the start of bar 1, levels and difficulties are on the tier scale, times
// are seconds.
package people

import (
	"math"

	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/rhythm"
)

// Note is one stroke of a phrase, or of a person on the way from phrase to sound.
type Note struct {
	Beat   float64     // beats from the start of bar 1
	Sound  sounds.Kind // how it is made
	Accent bool        // louder than its neighbours
}

// Phrase is a rhythm as the generator needs it.
type Phrase struct {
	ID     string    // name in the bank; "" for a phrase the leader makes up
	Metre  string    // for labels only, such as "6/8"
	Tempo  float64   // beats a minute, in the unit of Note.Beat
	Length float64   // beats, whole bars
	Bar    float64   // beats in one bar
	Pulse  []float64 // where people feel the beats, from the start, ascending; nil means 0, 1, 2, …
	Notes  []Note    // ascending
}

// FromRhythm converts a phrase of the bank. Beats are what its tempo counts: quarters in 4/4 and in
// additive metres, dotted quarters in 6/8.
func FromRhythm(id string, p rhythm.Phrase) Phrase {
	beats := func(step int) float64 {
		// Rounding removes the noise of seconds and back: a grid has at most 48 steps in a beat.
		const grid = 5040
		return math.Round(p.Seconds(step)*p.Tempo()/60*grid) / grid
	}
	out := Phrase{
		ID: id, Metre: p.Meter().String(), Tempo: p.Tempo(),
		Length: beats(p.Steps()), Bar: beats(p.BarSteps()),
	}
	pulse := p.BeatSteps()
	for _, step := range pulse[:len(pulse)-1] {
		out.Pulse = append(out.Pulse, beats(step))
	}
	for _, s := range p.Strokes() {
		out.Notes = append(out.Notes,
			Note{Beat: beats(s.Step), Sound: sounds.Kind(s.Sound), Accent: s.Accent})
	}
	return out
}

// Beats returns where the beats are.
func (p Phrase) Beats() []float64 {
	if p.Pulse != nil {
		return p.Pulse
	}
	var out []float64
	for b := 0.0; b < p.Length-1e-9; b++ {
		out = append(out, b)
	}
	return out
}

// OnBeat reports whether a position falls on a felt beat.
func (p Phrase) OnBeat(beat float64) bool {
	return math.Abs(p.NearestBeat(beat)-beat) < 1e-6
}

// NearestBeat returns the felt beat closest to a position; the earlier one in the middle between
// two.
func (p Phrase) NearestBeat(beat float64) float64 {
	best := 0.0
	for i, b := range p.Beats() {
		if i == 0 || math.Abs(b-beat) < math.Abs(best-beat)-1e-9 {
			best = b
		}
	}
	return best
}

// Shortest returns the shortest interval between two notes in beats, at most one beat.
func (p Phrase) Shortest() float64 {
	shortest := 1.0
	for i := 1; i < len(p.Notes); i++ {
		shortest = math.Min(shortest, p.Notes[i].Beat-p.Notes[i-1].Beat)
	}
	return shortest
}

// Valid reports whether the phrase can be played: some notes, ascending, inside a positive length.
func (p Phrase) Valid() bool {
	if !(p.Length > 0 && p.Length <= 512 && p.Tempo >= 20 && p.Tempo <= 400) || len(p.Notes) == 0 {
		return false
	}
	last := -1.0
	for _, n := range p.Notes {
		if !(n.Beat > last && n.Beat >= 0 && n.Beat < p.Length) {
			return false
		}
		last = n.Beat
	}
	return true
}
