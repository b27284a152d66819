package midifile

import (
	"fmt"
	"math"

	"clapladder.example/rhythm/internal/midiwrite"

	"clapladder.example/rhythm"
)

// ReadOptions choose what to read. The zero value reads the most likely line with the file's own
// metre and tempo.
type ReadOptions struct {
	// the track to read, from 1 as the file counts them; 0: the first that has a hand clap (key 39
	// of channel 10), else percussion, else notes; a track named "count-in", "click" or "metronome"
	// only if there is no other
	Track int
	Key   int          // read only this key, 1 to 127; 0: all
	Meter rhythm.Meter // instead of the file's; zero: the file's, 4/4 if it has none
	// instead of the file's, beats a minute; 0: the file's, 120 quarters a minute if it has none
	Tempo float64
}

// Read reads one line of a file as a phrase, by the rules of the package comment. The error is an
// [*Error].
func Read(data []byte, opts ReadOptions) (rhythm.Phrase, error) {
	f, err := parse(data)
	if err != nil {
		return rhythm.Phrase{}, err
	}
	if f.division&0x8000 != 0 {
		return rhythm.Phrase{}, &Error{
			Message: "the MIDI file counts film frames and has no beats",
			Advice:  "export it with ticks per quarter note",
		}
	}
	notes, err := f.line(opts)
	if err != nil {
		return rhythm.Phrase{}, err
	}
	score, err := f.score(opts.Meter, notes)
	if err != nil {
		return rhythm.Phrase{}, err
	}
	tempo := opts.Tempo
	if tempo == 0 {
		quarters := 60e6 / float64(f.tempos().at(score.start/score.tick()).micros)
		tempo = math.Round(100*quarters/score.meter.TempoQuarters()) / 100
	}
	phrase, err := rhythm.New(score.meter, tempo, score.bars, fineUnit*score.meter.Unit()/4,
		score.quantise(notes))
	if err != nil {
		return rhythm.Phrase{}, &Error{
			Message: "the line does not make a phrase: " + err.Error(),
			Advice:  "give another tempo, metre or track", Err: err,
		}
	}
	return phrase, nil
}

// note is one stroke as played.
type note struct {
	ticks    int64
	sound    rhythm.Sound
	velocity uint8
}

// line picks the track and returns its notes in order, one for each tick.
func (f *file) line(opts ReadOptions) ([]note, error) {
	if opts.Track < 0 || opts.Track > len(f.tracks) {
		return nil, &Error{
			Message: fmt.Sprintf("the MIDI file has no track %d", opts.Track),
			Advice:  fmt.Sprintf("choose one from 1 to %d", len(f.tracks)),
		}
	}
	if opts.Track > 0 {
		notes, _ := f.tracks[opts.Track-1].notes(opts.Key)
		if len(notes) == 0 {
			return nil, &Error{Message: fmt.Sprintf("track %d of the MIDI file has no such note",
				opts.Track), Advice: "choose another track or key"}
		}
		return notes, nil
	}
	var best []note
	bestRank := 0
	for _, t := range f.tracks {
		notes, rank := t.notes(opts.Key)
		if len(notes) > 0 && rank > bestRank {
			best, bestRank = notes, rank
		}
	}
	if best == nil {
		return nil, &Error{
			Message: "the MIDI file has no such note",
			Advice:  "choose another key, or export the rhythm as notes",
		}
	}
	return best, nil
}

// notes lists a track's notes and ranks it: 4 with a hand clap, 3 percussion, 2 other notes, 1 a
// count-in.
func (t track) notes(key int) (notes []note, rank int) {
	rank = 2
	for _, e := range t.events {
		var channel, k, velocity uint8
		if !e.message.GetNoteStart(&channel, &k, &velocity) || key > 0 && int(k) != key {
			continue
		}
		n := note{ticks: e.ticks, velocity: velocity}
		if channel == midiwrite.Percussion {
			n.sound = soundOf(k)
			rank = max(rank, 3)
			if k == midiwrite.KeyClap {
				rank = 4
			}
		}
		last := len(notes) - 1
		switch {
		case last < 0 || notes[last].ticks != n.ticks:
			notes = append(notes, n)
		case n.louder(notes[last]):
			notes[last] = n
		}
	}
	if rank < 4 && midiwrite.CountsIn(t.name) {
		rank = 1
	}
	return notes, rank
}

// louder decides which of two notes at one place is the stroke: the louder, of equals the earlier
// sound in the list of sounds.
func (n note) louder(other note) bool {
	return n.velocity > other.velocity || n.velocity == other.velocity && n.sound < other.sound
}

// soundOf is the body sound for a percussion key.
func soundOf(key uint8) rhythm.Sound {
	switch key {
	case 35, midiwrite.KeyStamp:
		return rhythm.Stamp
	case midiwrite.KeyPat, 43:
		return rhythm.Pat
	case midiwrite.KeySnap:
		return rhythm.Snap
	}
	return rhythm.Clap
}
