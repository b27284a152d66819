package main

import (
	"clapladder.example/patterns"
)

// gradedJSON is a graded phrase as programs read it.
type gradedJSON struct {
	ID         string       `json:"id,omitempty"`
	Name       string       `json:"name,omitempty"`
	Tier       int          `json:"tier"`
	Difficulty float64      `json:"difficulty"`
	Predicted  float64      `json:"predicted"`     // by the program alone
	SD         float64      `json:"difficulty_sd"` // how sure the difficulty is
	Pinned     bool         `json:"pinned"`        // the leader's placing decided
	Meter      string       `json:"meter"`
	Tempo      float64      `json:"tempo"`
	Rhythm     string       `json:"rhythm"`
	Tags       []string     `json:"tags"`
	Why        []reasonJSON `json:"why"`
}

type reasonJSON struct {
	Feature string  `json:"feature"`
	Tiers   float64 `json:"tiers"`
}

func newGradedJSON(m *patterns.Model, g patterns.Graded) gradedJSON {
	return gradedJSON{
		ID: g.ID, Name: g.Name, Tier: g.Tier, Difficulty: g.Difficulty, Predicted: g.Predicted, SD: g.SD, Pinned: g.Pinned,
		Meter: g.Phrase.Meter().String(), Tempo: g.Phrase.Tempo(), Rhythm: g.Phrase.String(),
		Tags: append([]string{}, g.Tags...), Why: reasons(m.Explain(g.Phrase)),
	}
}

func reasons(e patterns.Explanation) []reasonJSON {
	out := make([]reasonJSON, len(e.Contributions))
	for i, c := range e.Contributions {
		out[i] = reasonJSON{c.Feature.String(), c.Tiers}
	}
	return out
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
		ID: g.ID, Name: g.Name, Tier: g.Tier, Difficulty: g.Difficulty, Predicted: g.Predicted, SD: g.SD, Pinned: g.Pinned,
		Tags: append([]string{}, g.Tags...), Notes: g.Notes, Parts: make([]partJSON, len(g.Parts)),
	}
	for i, p := range g.Parts {
		out.Parts[i] = partJSON{
			p.Name, p.Role.String(), p.Tier, p.Difficulty, p.Phrase.Meter().String(), p.Phrase.Tempo(), p.Phrase.String(),
		}
	}
	return out
}
