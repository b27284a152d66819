package plan

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
)

// Manners of leading. Sources: never two hard phrases in a row, an end on a
// success, a phrase repeated at most twice and then changed, and small steps are
// common practice, no source.
const (
	hardShare    = 0.5  // a phrase is hard if less than this share is expected to get it
	successShare = 0.85 // a good end if at least this share is expected to get it
	maxStepUp    = 1.5  // tiers between one call and the next
	maxReturn    = 1.0  // tiers above the hardest call that the group holds, after a sure one
	firstBelow   = 1.0  // the first call is so many tiers below the level at least
	afterLost    = 0.3  // after a lost one the next call is easier by so many tiers at least
	maxRepeats   = 2    // a phrase is called once and repeated so often at most

	// What a call tells is discounted for what makes it uncomfortable to follow.
	metreDiscount = 0.10 // another metre
	tempoDiscount = 0.05 // another tempo
	similarTempo  = 1.12 // ratio up to which a tempo is the same
)

// farOff is further from zero than any graded phrase, tiers.
const farOff = 30

// Limits of the stop rule.
const (
	enoughSD     = 0.40 // of the level, tiers
	enoughRounds = 6
	mostRounds   = 12
)

// Enough reports whether further calls are not worth their while: the level is
// known to 0.4 tiers after at least 6 usable rounds, or there were 12.
func Enough(belief *ability.Posterior, rounds int) bool {
	_, sd := belief.Level()
	return rounds >= mostRounds || rounds >= enoughRounds && sd <= enoughSD
}

// Called is a call that was made, with its answer.
type Called struct {
	Phrase     string  // ID in the bank; empty for an improvised call
	Difficulty float64 // only for an improvised call
	Share      float64 // of the group that got it, 0 to 1; NaN if not known
}

// Call is a phrase to call next.
type Call struct {
	patterns.Graded
	Information float64 // expected gain, nats; see ability.Scorer
	Share       float64 // of the group expected to get it, 0 to 1
	Why         string  // one line
}

// Microphone says how well answers will be heard.
type Microphone struct {
	ShareSD float64 // error of a share; 0: ability.DefaultShareSD
	People  int     // 0: unknown
	Comfort float64 // share of the group that the tier is about; 0: ability.DefaultComfort
}

// Caller chooses the next call from a bank. It is made once for a bank, never
// changed, and may be used by several goroutines.
type Caller struct {
	bank   []patterns.Graded // in the order of the file
	place  map[string]int    // by ID
	easy   []int             // places in bank, easiest first
	groups []scorerGroup
}

// NewCaller prepares a bank. The slice is kept and must not be changed. The
// error is about an empty bank or an unusable number.
func NewCaller(bank []patterns.Graded, mic Microphone) (*Caller, error) {
	if len(bank) == 0 {
		return nil, errors.New("the bank holds no phrase to call; write at least one")
	}
	c := &Caller{bank: bank, place: make(map[string]int, len(bank)), easy: make([]int, len(bank))}
	for i, g := range bank {
		if !(math.Abs(g.Difficulty) <= farOff) {
			return nil, fmt.Errorf("phrase %q has the difficulty %g; grade the bank first", g.ID,
				g.Difficulty)
		}
		if _, twice := c.place[g.ID]; !twice {
			c.place[g.ID] = i
		}
		c.easy[i] = i
	}
	slices.SortStableFunc(c.easy, func(a, b int) int {
		return cmp.Compare(bank[a].Difficulty, bank[b].Difficulty)
	})
	var err error
	if c.groups, err = newScorerGroups(bank, mic); err != nil {
		return nil, err
	}
	return c, nil
}

// Next returns the call that is expected to tell most about the group now, within
// the manners of leading: the first call is well below the expected level, no
// hard call follows a hard or lost one, a step up is at most a tier and a half,
// or a tier from the hardest call that the group holds where the last was a sure one,
// and nothing is repeated. Where the bank leaves nothing that keeps all of them, a
// phrase may come again, up to three times in all; then steps may be large; then
// the easiest is chosen. It is false only where every phrase was called three
// times.
//
// belief is the present one, called the rounds so far in order.
func (c *Caller) Next(belief *ability.Posterior, called []Called) (Call, bool) {
	s := c.situation(belief, called)
	for _, manners := range []manners{{step: true, fresh: true}, {step: true}, {fresh: true}, {}} {
		if best, ok := s.best(manners); ok {
			best.Why = s.why(best)
			return best, true
		}
	}
	return s.easiest()
}
