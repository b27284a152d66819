package midifile

import (
	"fmt"
	"slices"
)

// Taps is one stream of taps.
type Taps struct {
	Name   string    // the track's name; empty if it has none
	Onsets []float64 // seconds from the start of the file, increasing
}

// ReadTaps reads the note onsets of a file in seconds, whatever keys were played: one stream for
// each track with notes, in the order of the file; in a file of format 0, which has one track, one
// for each channel, lowest first. Tempo changes are followed, and files that count film frames are
// read too. Notes of one stream at the same tick are one tap. The error is an [*Error].
func ReadTaps(data []byte) ([]Taps, error) {
	f, err := parse(data)
	if err != nil {
		return nil, err
	}
	tempos := f.tempos()
	var streams []Taps
	for _, t := range f.tracks {
		var byChannel [16][]int64
		for _, e := range t.events {
			var channel, key, velocity uint8
			if !e.message.GetNoteStart(&channel, &key, &velocity) {
				continue
			}
			if f.format != 0 {
				channel = 0
			}
			byChannel[channel] = append(byChannel[channel], e.ticks)
		}
		for channel, ticks := range byChannel {
			if len(ticks) == 0 {
				continue
			}
			stream := Taps{Name: t.name}
			if f.format == 0 && t.name == "" {
				stream.Name = fmt.Sprintf("channel %d", channel+1)
			}
			for _, at := range slices.Compact(ticks) {
				stream.Onsets = append(stream.Onsets, tempos.seconds(at))
			}
			streams = append(streams, stream)
		}
	}
	if len(streams) == 0 {
		return nil, &Error{
			Message: "the MIDI file has no note",
			Advice:  "record the taps as notes, the calls on track 1 and the answers on track 2",
		}
	}
	return streams, nil
}
