package musicxml

import "encoding/xml"

// The elements of a written score, in the order that the schema asks for.

type scoreXML struct {
	XMLName        xml.Name  `xml:"score-partwise"`
	Version        string    `xml:"version,attr"`
	Work           *workXML  `xml:"work"`
	Identification encodeXML `xml:"identification>encoding"`
	ScorePart      scorePart `xml:"part-list>score-part"`
	Part           partXML   `xml:"part"`
}

type workXML struct {
	Title string `xml:"work-title"`
}

type encodeXML struct {
	Supports []supportXML `xml:"supports"`
}

type supportXML struct {
	Element string `xml:"element,attr"`
	Type    string `xml:"type,attr"`
}

type scorePart struct {
	ID          string           `xml:"id,attr"`
	Name        string           `xml:"part-name"`
	Instruments []instrumentXML  `xml:"score-instrument"`
	MIDI        []midiInstrument `xml:"midi-instrument"`
}

type instrumentXML struct {
	ID    string `xml:"id,attr"`
	Name  string `xml:"instrument-name"`
	Sound string `xml:"instrument-sound"`
}

type midiInstrument struct {
	ID        string `xml:"id,attr"`
	Channel   int    `xml:"midi-channel"`
	Unpitched int    `xml:"midi-unpitched"`
}

type partXML struct {
	ID       string       `xml:"id,attr"`
	Measures []measureXML `xml:"measure"`
}

type measureXML struct {
	Number     int            `xml:"number,attr"`
	Attributes *attributesXML `xml:"attributes"`
	Direction  *directionXML  `xml:"direction"`
	Notes      []noteXML      `xml:"note"`
	Barline    *barlineXML    `xml:"barline"`
}

type attributesXML struct {
	Divisions int     `xml:"divisions"`
	Time      timeXML `xml:"time"`
	ClefSign  string  `xml:"clef>sign"`
	Lines     int     `xml:"staff-details>staff-lines"`
}

type timeXML struct {
	Beats    string `xml:"beats"`
	BeatType int    `xml:"beat-type"`
}

type directionXML struct {
	Placement string       `xml:"placement,attr"`
	Metronome metronomeXML `xml:"direction-type>metronome"`
	Sound     soundXML     `xml:"sound"`
}

type metronomeXML struct {
	Unit      string    `xml:"beat-unit"`
	Dot       *struct{} `xml:"beat-unit-dot"`
	PerMinute string    `xml:"per-minute"`
}

type soundXML struct {
	Tempo string `xml:"tempo,attr"`
}

type noteXML struct {
	Unpitched    *struct{}        `xml:"unpitched"`
	Rest         *restXML         `xml:"rest"`
	Duration     int              `xml:"duration"`
	Instrument   *idXML           `xml:"instrument"`
	Voice        string           `xml:"voice"`
	Type         string           `xml:"type,omitempty"`
	Dots         []struct{}       `xml:"dot"`
	Modification *modificationXML `xml:"time-modification"`
	Notehead     string           `xml:"notehead,omitempty"`
	Notations    *notationsXML    `xml:"notations"`
}

type restXML struct {
	Measure string `xml:"measure,attr,omitempty"`
}

type idXML struct {
	ID string `xml:"id,attr"`
}

type modificationXML struct {
	Actual int    `xml:"actual-notes"`
	Normal int    `xml:"normal-notes"`
	Type   string `xml:"normal-type"`
}

type notationsXML struct {
	Tuplet        *tupletXML        `xml:"tuplet"`
	Articulations *articulationsXML `xml:"articulations"`
}

type tupletXML struct {
	Type    string `xml:"type,attr"`
	Bracket string `xml:"bracket,attr,omitempty"`
}

type articulationsXML struct {
	Accent struct{} `xml:"accent"`
}

type barlineXML struct {
	Location string `xml:"location,attr"`
	Style    string `xml:"bar-style"`
}
