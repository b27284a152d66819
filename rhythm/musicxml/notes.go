package musicxml

import (
	"bytes"
	"sort"

	"clapladder.example/rhythm"
)

// notesOfBar writes one bar: a bar's rest, or the beats one by one.
func notesOfBar(p rhythm.Phrase, bar int) []noteXML {
	perBar := p.Meter().Beats()
	first := bar * perBar
	var notes []noteXML
	silent := true
	for i := first; i < first+perBar; i++ {
		notes = append(notes, notesOfBeat(p, i, p.Meter().BeatUnits(i-first))...)
		silent = silent && p.BoxesPerBeat(i) == 1 && !sounds(p, i)
	}
	if silent {
		return []noteXML{{Rest: &restXML{Measure: "yes"}, Duration: p.BarSteps(), Voice: "1"}}
	}
	return notes
}

// sounds reports whether anything sounds in beat i.
func sounds(p rhythm.Phrase, i int) bool {
	return len(bytes.Trim(p.Boxes(i, p.BoxesPerBeat(i)), ".")) > 0
}

// notesOfBeat writes beat i: each stroke as the longest value up to the next, rests for the others.
func notesOfBeat(p rhythm.Phrase, i, units int) []noteXML {
	n := p.BoxesPerBeat(i)
	d := divide(units, p.Meter().Unit(), n)
	start, end := p.BeatSteps()[i], p.BeatSteps()[i+1]
	width := (end - start) / n
	strokes := p.Strokes()
	k := sort.Search(len(strokes), func(k int) bool { return strokes[k].Step >= start })
	var notes []noteXML
	for at := start; at < end; {
		next := end
		var stroke *rhythm.Stroke
		if k < len(strokes) && strokes[k].Step == at {
			stroke = &strokes[k]
			k++
		}
		if k < len(strokes) {
			next = min(end, strokes[k].Step)
		}
		for j, v := range d.values((next-at)/width, units) {
			note := noteXML{
				Duration: v.boxes * width, Voice: "1", Type: v.name,
				Dots: make([]struct{}, v.dots),
			}
			if stroke != nil && j == 0 {
				note.Unpitched = &struct{}{}
				note.Instrument = &idXML{instrumentID(stroke.Sound)}
				note.Notehead = "x"
				if stroke.Accent {
					note.Notations = &notationsXML{Articulations: &articulationsXML{}}
				}
			} else {
				note.Rest = &restXML{}
			}
			if d.tuplet() {
				note.Modification = &modificationXML{d.boxes, d.normal, typeNames[d.shift]}
			}
			notes = append(notes, note)
		}
		at = next
	}
	if d.tuplet() {
		mark(&notes[0], "start", "yes")
		mark(&notes[len(notes)-1], "stop", "")
	}
	return notes
}

// mark begins or ends a tuplet at a note. A tuplet of a single note is not possible: it would be a
// plain one.
func mark(note *noteXML, kind, bracket string) {
	if note.Notations == nil {
		note.Notations = &notationsXML{}
	}
	note.Notations.Tuplet = &tupletXML{Type: kind, Bracket: bracket}
}
