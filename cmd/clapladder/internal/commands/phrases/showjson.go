package phrases

import (
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/patterns"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm/spoken"
)

// shownJSON is one phrase as programs read it.
type shownJSON struct {
	gradedJSON
	Bars     int           `json:"bars"`
	Seconds  float64       `json:"duration_s"`
	Spoken   []wordJSON    `json:"spoken"`
	Easier   []variantJSON `json:"easier,omitempty"`
	Harder   []variantJSON `json:"harder,omitempty"`
	Measures []measureJSON `json:"measures"`
}

// wordJSON is a word to say at a box; bars and beats count from 1.
type wordJSON struct {
	Bar     int     `json:"bar"`
	Beat    float64 `json:"beat"`
	Word    string  `json:"word"`
	Sounded bool    `json:"sounded"` // false where the word is only thought
}

type variantJSON struct {
	Rhythm     string   `json:"rhythm"`
	Tempo      float64  `json:"tempo"`
	Difficulty float64  `json:"difficulty"`
	Changes    []string `json:"changes"`
}

func variants(list []difficulty.Neighbour) []variantJSON {
	out := make([]variantJSON, len(list))
	for i, n := range list {
		out[i] = variantJSON{n.Phrase.String(), n.Phrase.Tempo(), n.Difficulty, n.Changes}
	}
	return out
}

type measureJSON struct {
	ID        string   `json:"id"`
	Name      string   `json:"name"`
	Source    string   `json:"source"`
	Metres    string   `json:"metres"`              // that it is defined for
	Value     *float64 `json:"value"`               // null where it is undefined
	Undefined string   `json:"undefined,omitempty"` // why
}

func (c *Show) json(con *console.Console, m *difficulty.Model, g patterns.Graded) error {
	out := shownJSON{gradedJSON: newGradedJSON(m, g), Bars: g.Phrase.Bars(), Seconds: g.Phrase.Duration()}
	system, err := spoken.ParseSystem(c.Say)
	if err != nil {
		return fault.Usage("--say: %v", err)
	}
	for _, w := range spoken.Line(g.Phrase, system) {
		bar, beat := g.Phrase.Position(w.Step)
		out.Spoken = append(out.Spoken, wordJSON{bar, beat, w.Text, w.Sounded})
	}
	if c.Easier {
		out.Easier = variants(m.Easier(g.Phrase))
	}
	if c.Harder {
		out.Harder = variants(m.Harder(g.Phrase))
	}
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
	return view.JSON(con.Stdout, out)
}
