package plan

import (
	"fmt"
	"math"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
	"clapladder.example/rhythm"
)

// manners says which rules beyond "never two hard ones in a row" hold.
type manners struct {
	step  bool // small steps
	fresh bool // nothing that was called before
}

// situation is the moment before a call.
type situation struct {
	*Caller
	belief   *ability.Posterior
	expected []ability.Candidate // by place in the bank
	times    map[int]int         // by place in the bank: how often it was called
	first    bool
	previous *patterns.Graded // the last call; nil if it wasn't in the bank or there was none
	at       float64          // its difficulty
	reached  float64          // difficulty that steps up are taken from
	lost     bool             // it came back lost
	wasHard  bool             // it was hard, by the present belief
}

func (c *Caller) situation(belief *ability.Posterior, called []Called) *situation {
	s := &situation{
		Caller: c, belief: belief, expected: c.forecast(belief),
		times: map[int]int{}, first: len(called) == 0,
	}
	for _, round := range called {
		s.at, s.previous = round.Difficulty, nil
		if i, ok := c.place[round.Phrase]; ok {
			s.times[i]++
			s.previous, s.at = &c.bank[i], c.bank[i].Difficulty
		}
		s.lost = round.Share < hardShare // false for NaN
	}
	if !s.first {
		s.wasHard = belief.Share(s.at) < hardShare
	}
	s.reached = s.held(called)
	return s
}

// held is where steps are taken from: the difficulty of the last call, or, where that was one that
// nearly everybody should get, of the hardest so far that at least half of the group should. Who
// closes on plain beats goes on from where the group was, not from there.
func (s *situation) held(called []Called) float64 {
	hardest := s.at
	if s.belief.Share(s.at) < successShare {
		return hardest
	}
	for _, round := range called {
		difficulty := round.Difficulty
		if i, ok := s.place[round.Phrase]; ok {
			difficulty = s.bank[i].Difficulty
		}
		if difficulty > hardest && s.belief.Share(difficulty) >= hardShare {
			hardest = difficulty
		}
	}
	return hardest
}

// highest is the difficulty that a step up reaches.
func (s *situation) highest() float64 { return max(s.at+maxStepUp, s.reached+maxReturn) }

// best returns the call that tells most among those allowed, discounted for
// changes of metre and tempo; the earlier in the file of equals.
func (s *situation) best(m manners) (Call, bool) {
	best, most := -1, math.Inf(-1)
	for i := range s.bank {
		if !s.allowed(i, m) {
			continue
		}
		value := s.expected[i].Information
		if s.previous != nil {
			value *= 1 - discount(s.bank[i].Phrase, s.previous.Phrase)
		}
		if value > most {
			best, most = i, value
		}
	}
	if best < 0 {
		return Call{}, false
	}
	return s.call(best), true
}

// discount is the part of what phrase p tells that is taken off because it
// follows q.
func discount(p, q rhythm.Phrase) float64 {
	off := 0.0
	if p.Meter() != q.Meter() {
		off += metreDiscount
	}
	if ratio := p.Tempo() / q.Tempo(); ratio > similarTempo || ratio < 1/similarTempo {
		off += tempoDiscount
	}
	return off
}

func (s *situation) allowed(i int, m manners) bool {
	difficulty := s.bank[i].Difficulty
	hard := s.expected[i].Share < hardShare
	switch {
	case s.times[i] > maxRepeats, m.fresh && s.times[i] > 0:
		return false
	case s.first:
		level, _ := s.belief.Level()
		return difficulty <= level-firstBelow
	case m.step && difficulty > s.highest():
		return false
	case s.lost && difficulty > s.at-afterLost:
		return false
	}
	return !hard || !s.lost && !s.wasHard
}

func (s *situation) easiest() (Call, bool) {
	for _, i := range s.easy {
		if s.times[i] <= maxRepeats {
			call := s.call(i)
			call.Why = whyEasiest
			return call, true
		}
	}
	return Call{}, false
}

func (s *situation) call(i int) Call {
	return Call{Graded: s.bank[i], Information: s.expected[i].Information, Share: s.expected[i].Share}
}

const (
	whyEasiest = "the easiest of your phrases that hasn't been called too often"
)

func (s *situation) why(c Call) string {
	expected := roughly(c.Share) + " should get it"
	switch {
	case s.first:
		return "an easy start that already tells you something; " + expected
	case s.lost:
		return "a step down after a lost one; " + expected
	case s.wasHard:
		return "a breather after a hard one; " + expected
	}
	from, last := "", "the last one"
	if s.reached > s.at+0.5 {
		from, last = " from the hardest they managed", "the hardest they managed"
	}
	switch up := c.Difficulty - s.reached; {
	case up > 0.5:
		return fmt.Sprintf("%s up%s: it would tell you the most now; %s", tiers(up), from, expected)
	case up < -0.5:
		return fmt.Sprintf("%s down%s: it would tell you the most now; %s", tiers(-up), from, expected)
	}
	return "about as hard as " + last + ": it would tell you the most now; " + expected
}
