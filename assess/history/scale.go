package history

import (
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// Scale says how hard a phrase is at present, so that warm-ups of different dates
// are compared on one scale.
type Scale struct {
	model  *difficulty.Model
	bank   map[string]patterns.Graded
	middle float64
}

// NewScale takes difficulties from a bank as it is graded now; what is not in the
// bank, or was another rhythm when it was called, is graded by the model. A nil
// model means difficulty.DefaultModel, a nil bank none.
func NewScale(m *difficulty.Model, bank *bank.Bank) *Scale {
	if m == nil {
		m = difficulty.DefaultModel()
	}
	s := &Scale{model: m, bank: map[string]patterns.Graded{}, middle: 5}
	if bank == nil || len(bank.Entries) == 0 {
		return s
	}
	s.model = patterns.Anchor(m, bank)
	highest := 0
	for _, g := range patterns.GradeBank(m, bank) {
		s.bank[g.ID] = g
		highest = max(highest, g.Tier)
	}
	s.middle = float64(1+highest) / 2
	return s
}

// Difficulty is the present difficulty of a round's phrase, tiers, and its error.
// The error is about a notation that can't be read.
func (s *Scale) Difficulty(r Round) (difficulty, sd float64, err error) {
	phrase, err := r.parse()
	if err != nil {
		return 0, 0, err
	}
	if g, ok := s.find(r, phrase); ok {
		return g.Difficulty, g.SD, nil
	}
	g := patterns.GradePhrase(s.model, phrase)
	return g.Difficulty, g.SD, nil
}

// find returns the phrase of the bank that was called, if it is the same rhythm
// still.
func (s *Scale) find(r Round, phrase rhythm.Phrase) (patterns.Graded, bool) {
	if r.Phrase == nil {
		return patterns.Graded{}, false
	}
	g, ok := s.bank[*r.Phrase]
	return g, ok && g.Phrase.Equal(phrase)
}
