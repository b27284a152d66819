// Package midiwrite writes phrases and sequences of calls and answers as Standard MIDI Files, as
// package midifile reads them.
package midiwrite

import (
	"fmt"
	"io"
	"strings"

	"gitlab.com/gomidi/midi/v2"
	"gitlab.com/gomidi/midi/v2/smf"

	"clapladder.example/rhythm"
)

// Keys of the percussion channel, General MIDI 1, and the velocity of an accent.
const (
	KeyClap  = 39 // hand clap
	KeyStamp = 36 // bass drum
	KeyPat   = 41 // low floor tom
	KeySnap  = 37 // side stick
	keyHigh  = 76 // high wood block: first of the count-in
	keyLow   = 77 // low wood block: the other beats

	AccentFrom = 112 // notes from here on are accented
)

var keys = [...]uint8{rhythm.Clap: KeyClap, rhythm.Stamp: KeyStamp, rhythm.Pat: KeyPat, rhythm.Snap: KeySnap}

// Percussion is the channel of all notes, counted from 0: channel 10.
const Percussion = 9

const (
	plainVelocity  = 88
	accentVelocity = 120
	countVelocity  = 80
	usualTicks     = 480 // a quarter note
	maxTicks       = 0x7fff
)

// Texts that midifile.Read understands.
const (
	MarkCountIn = "count-in"
	MarkPhrase  = "phrase"
	MarkAnswer  = "answer"
	MarkEnd     = "end"
	TextMeter   = "meter "
)

// CountsIn reports whether a track's name says that it only gives the beat.
func CountsIn(name string) bool {
	switch strings.ToLower(name) {
	case MarkCountIn, "click", "metronome":
		return true
	}
	return false
}

// Options choose what is around the phrase. The zero value is one bar of count-in and no room
// for an answer.
type Options struct {
	NoCountIn bool   // leave out the bar of count-in
	Answer    bool   // leave as many silent bars after the phrase as it has, for the group's answer
	Title     string // name of the phrase's track; empty or a word for a count-in: "phrase"
}

// Write writes the phrase as a Standard MIDI File with its tempo and metre. Sounds, accents and the
// exact places are kept: midifile.Read gives an equal phrase, its tempo to a hundredth. It fails only
// where w does.
func Write(w io.Writer, p rhythm.Phrase, opts Options) error {
	if p.IsZero() {
		return fmt.Errorf("there is no phrase to write")
	}
	s := sheet{phrase: p, perQuarter: ticksPerQuarter(p.StepsPerQuarter())}
	if !opts.NoCountIn {
		s.start = s.ticks(p.BarSteps())
	}
	s.end = s.start + s.ticks(p.Steps())
	s.close = s.end
	if opts.Answer {
		s.close += s.ticks(p.Steps())
	}
	file := smf.NewSMF1()
	file.TimeFormat = smf.MetricTicks(s.perQuarter)
	tracks := []smf.Track{s.conductor(opts)}
	if !opts.NoCountIn {
		tracks = append(tracks, s.countIn())
	}
	tracks = append(tracks, s.titled(opts.Title))
	for _, track := range tracks {
		if err := file.Add(track); err != nil {
			return err
		}
	}
	return write(w, file)
}

// ticksPerQuarter is 480 or the smallest larger number on which every step is a whole number of
// ticks. Grids too fine for the format get the largest multiple of 1 to 12 that it has; strokes
// then lie to half a tick.
func ticksPerQuarter(steps int) int {
	for ticks := steps; ticks <= maxTicks; ticks += steps {
		if ticks >= usualTicks {
			return ticks
		}
	}
	return 27720
}

// sheet lays the phrase out in ticks.
type sheet struct {
	phrase            rhythm.Phrase
	perQuarter        int
	start, end, close int64 // of the phrase, and of the file
}

// ticks is the nearest tick to a step of the phrase.
func (s sheet) ticks(step int) int64 {
	steps := int64(s.phrase.StepsPerQuarter())
	return (2*int64(step)*int64(s.perQuarter) + steps) / (2 * steps)
}

// conductor is the track of tempo, metre and markers.
func (s sheet) conductor(opts Options) smf.Track {
	l := line{}
	sheet{phrase: s.phrase}.pulse(&l)
	if !opts.NoCountIn {
		l.add(0, smf.MetaMarker(MarkCountIn))
	}
	l.add(s.start, smf.MetaMarker(MarkPhrase))
	if opts.Answer {
		l.add(s.end, smf.MetaMarker(MarkAnswer))
	}
	l.add(s.close, smf.MetaMarker(MarkEnd))
	return l.closed(s.close)
}

// pulse adds metre and tempo where the phrase starts.
func (s sheet) pulse(l *line) {
	meter := s.phrase.Meter()
	l.add(s.start, smf.MetaText(TextMeter+meter.String()))
	l.add(s.start, smf.MetaTimeSig(uint8(meter.Count()), uint8(meter.Unit()), clocks(meter), 8))
	l.add(s.start, smf.MetaTempo(s.phrase.Tempo()*meter.TempoQuarters()))
}

// clocks is the number of MIDI clocks, 24 a quarter note, from beat to beat: 24 in 4/4, 36 in 6/8.
// Unequal beats have no such number; a quarter stands in.
func clocks(m rhythm.Meter) uint8 {
	if m.Kind() == rhythm.Additive {
		return 24
	}
	return uint8(min(255, 96*m.BeatUnits(0)/m.Unit()))
}

func (s sheet) countIn() smf.Track {
	l := line{}
	l.add(0, smf.MetaTrackSequenceName(MarkCountIn))
	s.beats(&l, 0, 1, countVelocity)
	return l.closed(s.close)
}

// beats adds the wood blocks, a high one on the first beat of each bar.
func (s sheet) beats(l *line, from int64, bars int, velocity uint8) {
	beats := s.phrase.Meter().Beats()
	for bar := range bars {
		for i, step := range s.phrase.BeatSteps()[:beats] {
			key := uint8(keyLow)
			if i == 0 {
				key = keyHigh
			}
			at := bar*s.phrase.BarSteps() + step
			next := bar*s.phrase.BarSteps() + s.phrase.BeatSteps()[i+1]
			l.stroke(from+s.ticks(at), from+s.ticks(next), key, velocity)
		}
	}
}

func (s sheet) titled(title string) smf.Track {
	if title == "" || CountsIn(title) {
		title = MarkPhrase
	}
	l := line{}
	l.add(0, smf.MetaTrackSequenceName(title))
	s.strokes(&l)
	return l.closed(s.close)
}

// strokes adds those of the phrase.
func (s sheet) strokes(l *line) {
	strokes := s.phrase.Strokes()
	for i, stroke := range strokes {
		velocity := uint8(plainVelocity)
		if stroke.Accent {
			velocity = accentVelocity
		}
		next := s.phrase.Steps()
		if i+1 < len(strokes) {
			next = strokes[i+1].Step
		}
		l.stroke(s.start+s.ticks(stroke.Step), s.start+s.ticks(next), keys[stroke.Sound], velocity)
	}
}

// line is a track under construction at absolute ticks.
type line struct {
	track smf.Track
	at    int64
}

func (l *line) add(at int64, message []byte) {
	l.track.Add(uint32(at-l.at), message)
	l.at = at
}

// stroke adds a short note that ends before the next one.
func (l *line) stroke(at, next int64, key, velocity uint8) {
	l.add(at, midi.NoteOn(Percussion, key, velocity))
	l.add(at+max(1, min(next-at, usualTicks/8)-1), midi.NoteOff(Percussion, key))
}

func (l *line) closed(at int64) smf.Track {
	l.track.Close(uint32(max(0, at-l.at)))
	return l.track
}
