package engine

import (
	"bytes"
	"cmp"
	"slices"

	"clapladder.example/assess/view"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

// phrase is one phrase as the page shows it.
type phrase struct {
	ID      string `json:"id"`
	Name    string `json:"name"`
	Tier    int    `json:"tier"`
	Meter   string `json:"meter"`
	Boxes   string `json:"boxes"` // box notation
	Count   string `json:"count"` // the words to count it by
	Picture string `json:"picture"`
}

// pictureWidth is how wide a phrase is drawn at most, CSS pixels: as a phone is.
const pictureWidth = 330

func newPhrase(id, name string, level float64, p rhythm.Phrase) phrase {
	out := phrase{
		ID: id, Name: name, Tier: tierscale.Tier(level), Meter: p.Meter().String(),
		Boxes: p.String(),
	}
	_, out.Count = spoken.Aligned(p, spoken.Counting)
	var svg bytes.Buffer
	if view.PhraseSVG(&svg, p, pictureWidth) == nil {
		out.Picture = svg.String()
	}
	return out
}

// phraseOf is a phrase from notation that was read before.
func phraseOf(id, name string, level float64, notation, meter string) phrase {
	m, err := rhythm.ParseMeter(meter)
	if err == nil {
		if p, err := rhythm.Parse(notation, m, rhythm.DefaultTempo); err == nil {
			return newPhrase(id, name, level, p)
		}
	}
	return phrase{ID: id, Name: name, Tier: tierscale.Tier(level), Meter: meter, Boxes: notation}
}

// phrases is the bank, easiest first.
func (e *Engine) phrases(struct{}) (any, error) {
	list := slices.Clone(e.graded)
	slices.SortStableFunc(list, func(a, b gradedPhrase) int {
		return cmp.Compare(a.Difficulty,
			b.Difficulty)
	})
	out := make([]phrase, len(list))
	for i, g := range list {
		out[i] = newPhrase(g.ID, g.Name, g.Difficulty, g.Phrase)
	}
	return out, nil
}
