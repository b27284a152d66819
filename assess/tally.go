package assess

import (
	"fmt"
	"strings"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
)

// Verdict is what a leader heard of one phrase.
type Verdict struct {
	Phrase string          // id in the bank
	Heard  ability.Verdict // got, partly or lost
}

// UnknownPhraseError is about an id that the bank does not have.
type UnknownPhraseError struct {
	ID      string // as asked for
	Similar string // the id of the bank that is nearest in spelling; empty where none is near
}

// Error is one line.
func (e *UnknownPhraseError) Error() string {
	if e.Similar != "" {
		return fmt.Sprintf("the bank has no phrase %q; did you mean %q?", e.ID, e.Similar)
	}
	return fmt.Sprintf("the bank has no phrase %q", e.ID)
}

// Tally reports on a warm-up that was heard by ear, without a recording. The error is an
// *UnknownPhraseError for an id that the bank does not have.
func Tally(verdicts []Verdict, bank *bank.Bank, o Options) (*Report, error) {
	s := newScale(bank, o)
	report := s.report(Recorded{Format: "tally"})
	attempts := map[string]int{}
	for _, v := range verdicts {
		g, err := s.find(v.Phrase)
		if err != nil {
			return nil, err
		}
		attempts[g.ID]++
		round := bareRound(g, attempts[g.ID])
		round.Heard = v.Heard.String()
		report.Rounds = append(report.Rounds, round)
	}
	return report, report.conclude(s)
}

// bareRound is a round that was not recorded.
func bareRound(g patterns.Graded, attempt int) Round {
	return Round{
		Phrase: pointer(g.ID), Name: g.Name, Attempt: attempt, Confidence: 1,
		Notation: g.Phrase.Written(), Meter: g.Phrase.Meter().String(),
		Difficulty: rounded(g.Difficulty, 2), DifficultySD: rounded(g.SD, 2), Notes: []Note{},
		Extras: []Extra{}, Errors: []Error{},
		Call: Played{Onsets: []float64{}, Tempo: g.Phrase.Tempo()}, Usable: true,
	}
}

// find looks up an id.
func (s *scale) find(id string) (patterns.Graded, error) {
	best, distance := "", 3
	for _, g := range s.graded {
		if g.ID == id {
			return g, nil
		}
		if d := bank.Slips(strings.ToLower(g.ID), strings.ToLower(id)); d < distance {
			best, distance = g.ID, d
		}
	}
	return patterns.Graded{}, &UnknownPhraseError{ID: id, Similar: best}
}
