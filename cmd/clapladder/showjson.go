package main

import (
	"clapladder.example/assess/view"
	"clapladder.example/patterns"
)

// shownJSON is one phrase as programs read it.
type shownJSON struct {
	gradedJSON
	Bars     int           `json:"bars"`
	Seconds  float64       `json:"duration_s"`
	Measures []measureJSON `json:"measures"`
}

type measureJSON struct {
	ID        string   `json:"id"`
	Name      string   `json:"name"`
	Source    string   `json:"source"`
	Metres    string   `json:"metres"`              // that it is defined for
	Value     *float64 `json:"value"`               // null where it is undefined
	Undefined string   `json:"undefined,omitempty"` // why
}

func (c *showCommand) json(a *app, m *patterns.Model, g patterns.Graded) error {
	out := shownJSON{gradedJSON: newGradedJSON(m, g), Bars: g.Phrase.Bars(), Seconds: g.Phrase.Duration()}
	for _, x := range shownMeasures(true) {
		value, err := x.Of(g.Phrase)
		row := measureJSON{ID: x.ID, Name: x.Name, Source: x.Source, Metres: x.Metres}
		if err == nil {
			row.Value = &value
		} else {
			row.Undefined = reasonOf(err)
		}
		out.Measures = append(out.Measures, row)
	}
	return view.JSON(a.stdout, out)
}
