package musicxml

import (
	"archive/zip"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"

	"clapladder.example/rhythm"
)

const doctype = `<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" ` +
	`"http://www.musicxml.org/dtds/partwise.dtd">`

// WriteOptions say how the phrase is written. The zero value is plain MusicXML without a title.
type WriteOptions struct {
	Title      string // title of the score; empty: none
	Part       string // name of the part; empty: "Claps"
	Compressed bool   // write a compressed score (.mxl)
}

// Write writes the phrase as MusicXML. [Read] gives an equal phrase. It fails only where w does and
// for the zero phrase.
func Write(w io.Writer, p rhythm.Phrase, opts WriteOptions) error {
	if p.IsZero() {
		return errors.New("there is no phrase to write")
	}
	if opts.Compressed {
		return writeCompressed(w, p, opts)
	}
	return writePlain(w, p, opts)
}

func writePlain(w io.Writer, p rhythm.Phrase, opts WriteOptions) error {
	text, err := xml.MarshalIndent(score(p, opts), "", "  ")
	if err != nil {
		return fmt.Errorf("write MusicXML: %w", err)
	}
	_, err = io.WriteString(w, xml.Header+doctype+"\n"+string(text)+"\n")
	return err
}

func writeCompressed(w io.Writer, p rhythm.Phrase, opts WriteOptions) error {
	archive := zip.NewWriter(w)
	// first and stored, as the format asks
	kind, err := archive.CreateHeader(&zip.FileHeader{Name: "mimetype", Method: zip.Store})
	if err != nil {
		return err
	}
	if _, err := io.WriteString(kind, mimeType); err != nil {
		return err
	}
	container, err := archive.Create(containerPath)
	if err != nil {
		return err
	}
	const rootfile = "score.musicxml"
	_, err = fmt.Fprintf(container,
		"%s<container>\n  <rootfiles>\n    <rootfile full-path=%q media-type=%q/>\n  "+
			"</rootfiles>\n</container>\n", xml.Header, rootfile, mimeType+"+xml")
	if err != nil {
		return err
	}
	body, err := archive.Create(rootfile)
	if err != nil {
		return err
	}
	if err := writePlain(body, p, opts); err != nil {
		return err
	}
	return archive.Close()
}

// score lays out the whole document.
func score(p rhythm.Phrase, opts WriteOptions) scoreXML {
	s := scoreXML{Version: "4.0", ScorePart: scorePart{ID: "P1", Name: opts.Part}, Part: partXML{ID: "P1"}}
	s.ScorePart.Name = cmp.Or(s.ScorePart.Name, "Claps")
	if opts.Title != "" {
		s.Work = &workXML{Title: opts.Title}
	}
	for _, element := range []string{"accidental", "beam", "stem"} {
		s.Identification.Supports = append(s.Identification.Supports, supportXML{element, "no"})
	}
	used := [len(soundIDs)]bool{}
	for _, stroke := range p.Strokes() {
		used[stroke.Sound] = true
	}
	for sound, id := range soundIDs {
		if used[sound] {
			s.ScorePart.Instruments = append(s.ScorePart.Instruments,
				instrumentXML{instrumentID(rhythm.Sound(sound)), soundNames[sound], id})
			s.ScorePart.MIDI = append(s.ScorePart.MIDI,
				midiInstrument{instrumentID(rhythm.Sound(sound)), 10, midiUnpitched[sound]})
		}
	}
	meter := p.Meter()
	for bar := range p.Bars() {
		m := measureXML{Number: bar + 1}
		if bar == 0 {
			m.Attributes = &attributesXML{
				Divisions: p.StepsPerQuarter(),
				Time:      timeXML{beats(meter), meter.Unit()}, ClefSign: "percussion", Lines: 1,
			}
			m.Direction = direction(p)
		}
		m.Notes = notesOfBar(p, bar)
		if bar == p.Bars()-1 {
			m.Barline = &barlineXML{"right", "light-heavy"}
		}
		s.Part.Measures = append(s.Part.Measures, m)
	}
	return s
}

func instrumentID(s rhythm.Sound) string { return fmt.Sprintf("P1-I%d", s+1) }

// beats is the upper part of the time signature: 4, 2+2+3.
func beats(m rhythm.Meter) string {
	groups := m.Groups()
	if groups == nil {
		return strconv.Itoa(m.Count())
	}
	text := ""
	for i, g := range groups {
		if i > 0 {
			text += "+"
		}
		text += strconv.Itoa(g)
	}
	return text
}

// direction is the tempo mark: in beats for people, in quarters for programs.
func direction(p rhythm.Phrase) *directionXML {
	meter := p.Meter()
	mark := metronomeXML{Unit: "quarter", PerMinute: decimal(p.Tempo())}
	if meter.Kind() != rhythm.Additive {
		d := divide(meter.BeatUnits(0), meter.Unit(), 1)
		mark.Unit = typeNames[d.shift]
		if meter.BeatUnits(0) == 3 {
			mark.Dot = &struct{}{}
		}
	}
	return &directionXML{
		Placement: "above", Metronome: mark,
		Sound: soundXML{decimal(p.Tempo() * meter.TempoQuarters())},
	}
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
