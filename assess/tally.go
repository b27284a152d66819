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
		Phrase: new(g.ID), Name: g.Name, Attempt: attempt, Confidence: 1,
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

// Heard is one round that a caller measured or judged by other means: a share, or a verdict by ear.
type Heard struct {
	Phrase  string          // id in the bank
	Share   float64         // of the group that got it, 0 to 1; not looked at where Verdict is given
	ShareSD float64         // its error; 0: ability.DefaultShareSD
	Verdict ability.Verdict // got, partly or lost
}

// Session takes rounds one at a time and says after each what is known so far and what to call
// next. It is not safe for concurrent use. Make one with [NewSession].
type Session struct {
	scale    *scale
	rounds   []Round
	attempts map[string]int
}

// NewSession begins a warm-up without any round. The bank is only read.
func NewSession(bank *bank.Bank, o Options) *Session {
	return &Session{scale: newScale(bank, o), attempts: map[string]int{}}
}

// Add takes one round and reports on all so far: estimate, openers and next call. Rounds of the
// report have no call and no notes. The error is an *UnknownPhraseError, or an *ability.InputError
// for a number out of range; the round is then not taken.
func (s *Session) Add(h Heard) (*Report, error) {
	g, err := s.scale.find(h.Phrase)
	if err != nil {
		return nil, err
	}
	round := bareRound(g, s.attempts[g.ID]+1)
	if h.Verdict == ability.NoVerdict {
		round.Share = new(h.Share)
		if h.ShareSD != 0 {
			round.ShareSD = new(h.ShareSD)
		}
	} else {
		round.Heard = h.Verdict.String()
	}
	report := s.scale.report(Recorded{Format: "session"})
	report.Rounds = append(s.rounds[:len(s.rounds):len(s.rounds)], round)
	if err := report.conclude(s.scale); err != nil {
		return nil, err
	}
	s.rounds = report.Rounds
	s.attempts[g.ID]++
	return report, nil
}
