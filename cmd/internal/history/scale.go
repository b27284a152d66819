package history

import (
	"sync"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// Scale says how hard a phrase is at present, so that warm-ups of different dates
// are compared on one scale.
type Scale struct {
	model *difficulty.Model
	bank  map[string]patterns.Graded
	prior ability.Prior // of a group nobody has met, before the rounds of a date

	mutex sync.Mutex
	seen  map[calledKey]calledNow
}

// calledKey is what was called, as it is written.
type calledKey struct {
	phrase, meter, notation string
	tempo                   float64
}

// calledNow is how hard that is at present.
type calledNow struct {
	difficulty, sd float64
	err            error
}

// NewScale takes difficulties from a bank as it is graded now; what is not in the
// bank, or was another rhythm when it was called, is graded by the model. A nil
// model means difficulty.DefaultModel, a nil bank none.
func NewScale(m *difficulty.Model, bank *bank.Bank) *Scale {
	if m == nil {
		m = difficulty.DefaultModel()
	}
	s := &Scale{
		model: m, bank: map[string]patterns.Graded{}, prior: ability.PriorForTiers(tiersWithoutBank),
		seen: map[calledKey]calledNow{},
	}
	if bank == nil || len(bank.Entries) == 0 {
		return s
	}
	s.model = patterns.Anchor(m, bank)
	highest := 0
	for _, g := range patterns.GradeBank(m, bank) {
		s.bank[g.ID] = g
		highest = max(highest, g.Tier)
	}
	s.prior = ability.PriorForTiers(highest)
	return s
}

// tiersWithoutBank is how many tiers there are taken to be where no bank says it, as in
// a report.
const tiersWithoutBank = 9

// Difficulty is the present difficulty of a round's phrase, tiers, and its error.
// The error is about a notation that can't be read.
func (s *Scale) Difficulty(r Round) (difficulty, sd float64, err error) {
	key := calledKey{meter: r.Meter, notation: r.Notation, tempo: r.Tempo}
	if r.Phrase != nil {
		key.phrase = *r.Phrase
		if g, ok := s.bank[key.phrase]; ok && g.Phrase.Meter().String() == r.Meter &&
			(g.Phrase.Written() == r.Notation || g.Phrase.String() == r.Notation) {
			return g.Difficulty, g.SD, nil // as nearly all are
		}
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	now, ok := s.seen[key]
	if !ok {
		now.difficulty, now.sd, now.err = s.difficulty(r)
		if len(s.seen) < mostSeen {
			s.seen[key] = now
		}
	}
	return now.difficulty, now.sd, now.err
}

const mostSeen = 100_000 // keeps memory bounded

func (s *Scale) difficulty(r Round) (difficulty, sd float64, err error) {
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
