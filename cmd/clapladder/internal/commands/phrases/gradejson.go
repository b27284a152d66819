package phrases

import (
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/measure"
)

// gradedJSON is a graded phrase as programs read it.
type gradedJSON struct {
	ID         string  `json:"id,omitempty"`
	Name       string  `json:"name,omitempty"`
	Tier       int     `json:"tier"`
	Difficulty float64 `json:"difficulty"`
	Predicted  float64 `json:"predicted"`     // by the program alone
	SD         float64 `json:"difficulty_sd"` // how sure the difficulty is
	// the leader's placing decided, or what was learned
	Pinned  bool         `json:"pinned"`
	Learned int          `json:"learned_from,omitempty"` // groups that the difficulty was learned from
	Meter   string       `json:"meter"`
	Tempo   float64      `json:"tempo"`
	Rhythm  string       `json:"rhythm"`
	Tags    []string     `json:"tags"`
	Plain   float64      `json:"plain"` // difficulty of plain beats; with all tiers of why, predicted
	Why     []reasonJSON `json:"why"`

	Measures map[string]*float64 `json:"measures,omitempty"` // by ID; null where undefined
}

type reasonJSON struct {
	Feature string      `json:"feature"`
	Tiers   float64     `json:"tiers"`
	Text    string      `json:"text"`
	Places  []placeJSON `json:"places"`
	Error   string      `json:"usual_error,omitempty"`
	Hint    string      `json:"hint,omitempty"`
	Source  string      `json:"source,omitempty"` // of error and hint
}

// placeJSON is a part of a phrase; bars and beats count from 1.
type placeJSON struct {
	Bar  int     `json:"bar"`
	Beat float64 `json:"beat"`
	Text string  `json:"text"`
}

func newGradedJSON(m *difficulty.Model, g patterns.Graded) gradedJSON {
	e := m.Explain(g.Phrase)
	return gradedJSON{
		ID: g.ID, Name: g.Name, Tier: g.Tier, Difficulty: g.Difficulty, Predicted: g.Predicted, SD: g.SD,
		Pinned: g.Pinned, Learned: g.LearnedFrom,
		Meter: g.Phrase.Meter().String(), Tempo: g.Phrase.Tempo(), Rhythm: g.Phrase.Written(),
		Tags: append([]string{}, g.Tags...), Plain: e.Plain + e.Limit, Why: reasons(e, g.Phrase),
	}
}

func reasons(e difficulty.Explanation, p rhythm.Phrase) []reasonJSON {
	out := []reasonJSON{}
	for _, r := range e.Reasons {
		x := reasonJSON{r.Feature, r.Tiers, r.Text, []placeJSON{}, r.Error, r.Hint, r.Source}
		for _, place := range r.Places {
			bar, beat := p.Position(place.From)
			x.Places = append(x.Places, placeJSON{bar, beat, place.Text})
		}
		out = append(out, x)
	}
	return out
}

// measured maps measures to their values for a phrase.
func measured(measures []measure.Measure, p rhythm.Phrase) map[string]*float64 {
	out := map[string]*float64{}
	for _, m := range measures {
		out[m.ID] = nil
		if value, err := m.Of(p); err == nil {
			out[m.ID] = &value
		}
	}
	return out
}

// findMeasures finds measures by ID; "all" stands for every one.
func findMeasures(ids []string) ([]measure.Measure, error) {
	var out []measure.Measure
	for _, id := range ids {
		if id == "all" {
			return measure.All(), nil
		}
		m, ok := measure.Find(id)
		if !ok {
			var known []string
			for _, m := range measure.All() {
				known = append(known, m.ID)
			}
			return nil, fault.Usage("there is no measure %q%s", id, naming.DidYouMean(id, known))
		}
		out = append(out, m)
	}
	return out, nil
}

// pieceJSON is a graded piece as programs read it.
type pieceJSON struct {
	ID         string     `json:"id"`
	Name       string     `json:"name"`
	Tier       int        `json:"tier"`
	Difficulty float64    `json:"difficulty"`
	Predicted  float64    `json:"predicted"`
	SD         float64    `json:"difficulty_sd"`
	Pinned     bool       `json:"pinned"`
	Tags       []string   `json:"tags"`
	Notes      string     `json:"notes,omitempty"`
	Parts      []partJSON `json:"parts"`
}

type partJSON struct {
	Name       string  `json:"name"`
	Role       string  `json:"role"`
	Tier       int     `json:"tier"`
	Difficulty float64 `json:"difficulty"`
	Meter      string  `json:"meter"`
	Tempo      float64 `json:"tempo"`
	Rhythm     string  `json:"rhythm"`
}

func newPieceJSON(g patterns.GradedPiece) pieceJSON {
	out := pieceJSON{
		ID: g.ID, Name: g.Name, Tier: g.Tier, Difficulty: g.Difficulty, Predicted: g.Predicted,
		SD: g.SD, Pinned: g.Pinned,
		Tags: append([]string{}, g.Tags...), Notes: g.Notes, Parts: make([]partJSON, len(g.Parts)),
	}
	for i, p := range g.Parts {
		out.Parts[i] = partJSON{
			p.Name, string(p.Role), p.Tier, p.Difficulty, p.Phrase.Meter().String(),
			p.Phrase.Tempo(), p.Phrase.Written(),
		}
	}
	return out
}
