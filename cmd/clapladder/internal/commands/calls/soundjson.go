package calls

import "clapladder.example/rhythm/sound"

// soundJSON is one sequence of calls as programs read it. Times are seconds from its start, as in
// the files.
type soundJSON struct {
	Place    string        `json:"place,omitempty"` // on the card, where each call has a file of its own
	WAV      string        `json:"wav,omitempty"`   // the files that were written
	MIDI     string        `json:"midi,omitempty"`
	Seconds  float64       `json:"duration_s"`
	Sections []sectionJSON `json:"sections"` // one beginning where the other ends
}

// sectionJSON is a stretch of whole bars in the metre and tempo of its phrase.
type sectionJSON struct {
	// count-in, call, gap (silence for the answer), answer or pause
	Role string `json:"role"`
	// ID in the bank; null for one of the command line or a card's plain beats
	Phrase   *string     `json:"phrase"`
	Name     string      `json:"name,omitempty"` // as in the bank
	Notation string      `json:"notation"`       // of the phrase
	Meter    string      `json:"meter"`
	Tempo    float64     `json:"tempo_bpm"`
	Bars     int         `json:"bars"`
	Start    float64     `json:"start_s"`
	End      float64     `json:"end_s"`
	Clicks   []float64   `json:"clicks_s"` // beats of the count-in and of --click
	Notes    []soundNote `json:"notes"`    // strokes of a call or an answer, in order
}

// soundNote is a stroke; bars and beats count from 1.
type soundNote struct {
	Bar    int     `json:"bar"`
	Beat   float64 `json:"beat"`
	Time   float64 `json:"time_s"`
	Sound  string  `json:"sound"` // clap, stamp, pat or snap
	Accent bool    `json:"accent"`
}

func newSoundJSON(wav, midi string, calls []cued, s *sound.Sequence) soundJSON {
	out := soundJSON{WAV: wav, MIDI: midi, Seconds: s.Seconds()}
	if len(calls) == 1 {
		out.Place = calls[0].place
	}
	for _, section := range s.Sections() {
		call, p := calls[section.Index], section.Phrase
		row := sectionJSON{
			Role: section.Role, Name: call.name, Notation: p.Written(),
			Meter: p.Meter().String(), Tempo: p.Tempo(),
			Bars: section.Bars, Start: section.Start, End: section.End(), Clicks: []float64{},
			Notes: []soundNote{},
		}
		if call.id != "" {
			row.Phrase = &call.id
		}
		out.Sections = append(out.Sections, row)
	}
	for _, event := range s.Events() {
		section, p := &out.Sections[event.Section], s.Sections()[event.Section].Phrase
		time := section.Start + p.Seconds(event.Step)
		if event.Beat {
			section.Clicks = append(section.Clicks, time)
			continue
		}
		bar, beat := p.Position(event.Step)
		section.Notes = append(section.Notes, soundNote{bar, beat, time, event.Sound.String(), event.Accent})
	}
	return out
}
