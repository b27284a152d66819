package musicxml

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"clapladder.example/rhythm"
)

// ReadOptions choose what to read. The zero value reads the first part with notes.
type ReadOptions struct {
	Part  string  // name or id of the part, case ignored; empty: the first that has notes
	Tempo float64 // instead of the score's, beats a minute; 0: the score's, 96 if it has none
}

// Read reads the rhythm of one part of a plain or compressed score, by the rules of the package
// comment. The error is an [*Error].
func Read(data []byte, opts ReadOptions) (rhythm.Phrase, error) {
	text, err := document(data)
	if err != nil {
		return rhythm.Phrase{}, err
	}
	r := reader{decoder: xml.NewDecoder(bytes.NewReader(text)), wanted: strings.TrimSpace(opts.Part)}
	r.decoder.CharsetReader = func(charset string, _ io.Reader) (io.Reader, error) {
		return nil, fmt.Errorf("it is written in %s", charset)
	}
	part, err := r.score()
	if err != nil {
		if problem, ok := errors.AsType[*Error](err); ok {
			return rhythm.Phrase{}, problem
		}
		return rhythm.Phrase{}, &Error{
			Message: "the score is damaged: " + err.Error(),
			Advice:  "export it again as MusicXML in UTF-8", Err: err,
		}
	}
	return part.phrase(opts.Tempo)
}

// reader walks a score and keeps the part that is asked for.
type reader struct {
	decoder *xml.Decoder
	wanted  string
	names   map[string]string                  // part id → name
	sounds  map[string]map[string]rhythm.Sound // part id → instrument id → body sound
	order   []string                           // names for advice
	tempo   float64                            // quarters a minute; 0: none seen
}

// score reads up to the end of the part it wants.
func (r *reader) score() (*part, error) {
	root, err := r.root()
	if err != nil {
		return nil, err
	}
	switch root.Name.Local {
	case "score-partwise":
	case "score-timewise":
		return nil, &Error{
			Message: "the score is in timewise form",
			Advice:  "export it as partwise MusicXML, the usual form",
		}
	case "opus":
		return nil, &Error{Message: "the file only lists other scores", Advice: "export the score itself"}
	default:
		return nil, &Error{Message: fmt.Sprintf("this is no MusicXML score: it begins with <%.40s>",
			root.Name.Local), Advice: "export the score as MusicXML"}
	}
	r.names, r.sounds = map[string]string{}, map[string]map[string]rhythm.Sound{}
	var found *part
	err = r.children(func(e xml.StartElement) error {
		switch e.Name.Local {
		case "part-list":
			return r.partList()
		case "part":
			id := attribute(e, "id")
			if found != nil || r.wanted != "" && !strings.EqualFold(r.wanted, id) &&
				!strings.EqualFold(r.wanted, r.names[id]) {
				return r.tempoOnly()
			}
			p := &part{name: r.names[id], sounds: r.sounds[id]}
			p.name = cmp.Or(p.name, id)
			if err := r.part(p); err != nil {
				return err
			}
			if len(p.onsets) > 0 {
				found = p
			}
			return nil
		}
		return r.decoder.Skip()
	})
	switch {
	case err != nil:
		return nil, err
	case found == nil && r.wanted != "":
		return nil, &Error{
			Message: fmt.Sprintf("the score has no part %q with notes", r.wanted),
			Advice:  "write one of " + strings.Join(r.order, ", "),
		}
	case found == nil:
		return nil, &Error{Message: "the score has no note", Advice: "export the score with the rhythm in it"}
	}
	found.tempo = r.tempo
	return found, nil
}

// root is the first element.
func (r *reader) root() (xml.StartElement, error) {
	for {
		token, err := r.decoder.Token()
		if errors.Is(err, io.EOF) {
			return xml.StartElement{}, &Error{
				Message: "this is no MusicXML score",
				Advice:  "export the score as MusicXML",
			}
		}
		if err != nil {
			return xml.StartElement{}, &Error{
				Message: "this is no MusicXML score: " + err.Error(),
				Advice:  "export the score as MusicXML in UTF-8", Err: err,
			}
		}
		if e, ok := token.(xml.StartElement); ok {
			return e, nil
		}
	}
}

// children calls visit for each child of the element whose start was read last; visit reads the
// child to its end.
func (r *reader) children(visit func(xml.StartElement) error) error {
	for {
		token, err := r.decoder.Token()
		if err != nil {
			if errors.Is(err, io.EOF) {
				err = io.ErrUnexpectedEOF
			}
			return err
		}
		switch e := token.(type) {
		case xml.StartElement:
			if err := visit(e); err != nil {
				return err
			}
		case xml.EndElement:
			return nil
		}
	}
}

// tempoOnly passes over a part that is not wanted, save for the tempo: many scores have it in their
// first part only.
func (r *reader) tempoOnly() error {
	for depth := 1; depth > 0; {
		token, err := r.decoder.Token()
		if errors.Is(err, io.EOF) {
			return io.ErrUnexpectedEOF
		}
		if err != nil {
			return err
		}
		switch e := token.(type) {
		case xml.StartElement:
			if e.Name.Local != "metronome" {
				depth++
				if e.Name.Local == "sound" {
					r.setTempo(positive(attribute(e, "tempo")))
				}
				continue
			}
			var mark metronomeIn
			if err := r.decoder.DecodeElement(&mark, &e); err != nil {
				return err
			}
			r.setTempo(mark.quarters())
		case xml.EndElement:
			depth--
		}
	}
	return nil
}

// partList collects names and instrument sounds of the parts.
func (r *reader) partList() error {
	return r.children(func(e xml.StartElement) error {
		if e.Name.Local != "score-part" {
			return r.decoder.Skip()
		}
		var list struct {
			Name        string `xml:"part-name"`
			Instruments []struct {
				ID    string `xml:"id,attr"`
				Sound string `xml:"instrument-sound"`
			} `xml:"score-instrument"`
		}
		if err := r.decoder.DecodeElement(&list, &e); err != nil {
			return err
		}
		id := attribute(e, "id")
		name := strings.Join(strings.Fields(list.Name), " ")
		r.names[id] = name
		r.order = append(r.order, fmt.Sprintf("%q", firstOf(name, id)))
		r.sounds[id] = map[string]rhythm.Sound{}
		for _, i := range list.Instruments {
			r.sounds[id][i.ID] = soundOf(i.Sound)
		}
		return nil
	})
}

// soundOf is the body sound for a standard sound id.
func soundOf(id string) rhythm.Sound {
	id = strings.TrimSpace(id)
	for sound, name := range soundIDs {
		if id == name {
			return rhythm.Sound(sound)
		}
	}
	return rhythm.Clap
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
