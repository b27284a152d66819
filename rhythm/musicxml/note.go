package musicxml

import (
	"encoding/xml"
	"strconv"
	"strings"

	"clapladder.example/rhythm"
)

// noteIn is a note as read.
type noteIn struct {
	Grace    *struct{} `xml:"grace"`
	Cue      *struct{} `xml:"cue"`
	Chord    *struct{} `xml:"chord"`
	Rest     *struct{} `xml:"rest"`
	Duration string    `xml:"duration"`
	Ties     []struct {
		Type string `xml:"type,attr"`
	} `xml:"tie"`
	Instrument []struct {
		ID string `xml:"id,attr"`
	} `xml:"instrument"`
	Articulations []struct {
		Accent *struct{} `xml:"accent"`
		Strong *struct{} `xml:"strong-accent"`
	} `xml:"notations>articulations"`
}

// note takes one note into account.
func (r *reader) note(p *part, c *cursor, e xml.StartElement) error {
	var n noteIn
	if err := r.decoder.DecodeElement(&n, &e); err != nil {
		return err
	}
	if n.Grace != nil {
		return nil // takes its time from its neighbours
	}
	duration, err := ticks(c, n.Duration)
	if err != nil {
		return err
	}
	at := c.at
	if n.Chord != nil {
		at = c.last // sounds with the note before and does not move on
	} else {
		c.last = c.at
		c.at += duration
		c.end = max(c.end, c.at)
	}
	if n.Rest != nil || n.Cue != nil {
		return nil
	}
	for _, tie := range n.Ties {
		if tie.Type == "stop" {
			return nil
		}
	}
	if len(p.onsets) >= maxOnsets {
		return &Error{
			Where: c.where, Message: "there are too many notes",
			Advice: "export only the part with the rhythm",
		}
	}
	o := onset{bar: p.bars, at: at, divisions: max(1, p.divisions)}
	for _, i := range n.Instrument {
		o.sound = p.sounds[i.ID]
	}
	for _, a := range n.Articulations {
		o.accent = o.accent || a.Accent != nil || a.Strong != nil
	}
	p.onsets = append(p.onsets, o)
	return nil
}

// maxOnsets bounds the notes of a part: every box of the longest phrase, in four voices.
const maxOnsets = 4 * rhythm.MaxBars * 32 * rhythm.MaxBoxesPerBeat

// move reads a backup or forward.
func (r *reader) move(p *part, c *cursor, e xml.StartElement) error {
	var m struct {
		Duration string `xml:"duration"`
	}
	if err := r.decoder.DecodeElement(&m, &e); err != nil {
		return err
	}
	duration, err := ticks(c, m.Duration)
	if err != nil {
		return err
	}
	if e.Name.Local == "backup" {
		duration = -duration
	}
	c.at += duration
	if c.at < 0 {
		return damaged(c.where, "a backup goes before the start of the bar")
	}
	c.end = max(c.end, c.at)
	return nil
}

// ticks reads a duration in divisions. Some programs write whole numbers with a decimal point.
func ticks(c *cursor, text string) (int64, error) {
	text = strings.TrimSpace(text)
	if whole, fraction, found := strings.Cut(text, "."); found && strings.Trim(fraction, "0") == "" {
		text = whole
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 || n > maxTime {
		return 0, damaged(c.where, "%.20q is not a duration", text)
	}
	if c.at+n > maxTime {
		return 0, damaged(c.where, "the bar is endless")
	}
	return n, nil
}
