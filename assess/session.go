package assess

import (
	"clapladder.example/assess/ability"
	"clapladder.example/patterns/bank"
)

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
		round.Share = pointer(h.Share)
		if h.ShareSD != 0 {
			round.ShareSD = pointer(h.ShareSD)
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
