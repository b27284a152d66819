package assess

import (
	"fmt"

	"clapladder.example/assess/ability"
)

// Basis is what the estimate of a group began with. With it and the rounds the estimate can be made
// again, to the last digit, from a report that was kept; see [Report.Estimate].
type Basis struct {
	Tiers        int     `json:"tiers"`                   // highest tier told apart
	Level        float64 `json:"level"`                   // believed before the first round
	LevelSD      float64 `json:"level_sd"`                // its standard deviation, tiers
	SpreadMedian float64 `json:"spread_median,omitempty"` // of the spread of people, tiers; 0: the usual one
	// standard deviation of its logarithm; 0: the usual one
	SpreadSigma float64 `json:"spread_sigma,omitempty"`
	People      int     `json:"people,omitempty"`    // in the group; 0: unknown
	CommonSD    float64 `json:"common_sd,omitempty"` // what all rounds may err in common, tiers
	// Calls says that what the leader called was taken as a hint of the level: who knows the group
	// calls by what they know, and that is no news.
	Calls bool `json:"calls"`
}

// basis is what the estimate begins with.
func (s *scale) basis() *Basis {
	prior := s.prior()
	return &Basis{
		Tiers: s.highest, Level: rounded(prior.Level, 3), LevelSD: rounded(prior.LevelSD, 3),
		SpreadMedian: rounded(prior.SpreadMedian, 3), SpreadSigma: rounded(prior.SpreadSigma, 3),
		People: s.People, Calls: s.Prior == nil,
	}
}

// observation is what a usable round tells the estimate, by what the report says of it and by
// nothing else.
func (r *Round) observation(b *Basis) ability.Observation {
	o := ability.Observation{
		Difficulty: r.Difficulty, DifficultySD: r.DifficultySD, Verdict: ability.ParseVerdict(r.Heard),
		People: b.People, Doubt: min(1-r.Confidence, mostDoubt), Item: r.Meter + " " + r.Notation,
		Attempt: r.Attempt,
	}
	if r.Phrase != nil {
		o.Item = *r.Phrase
	}
	if r.People > 0 {
		o.People = r.People
	}
	if r.Share != nil {
		o.Share = *r.Share
	}
	if r.ShareSD != nil {
		o.ShareSD = *r.ShareSD
	}
	return o
}

// mostDoubt is how much a usable round may be doubted.
const mostDoubt = 0.45

// Estimate makes the estimate of a report again, from its rounds and what it began with. The same
// report gives the same estimate, whether it was just made or read from a file. The error is an
// *ability.InputError, for numbers that can't be, or says that the report holds no basis: then it
// was written by an earlier version.
func (r *Report) Estimate() (ability.Result, error) {
	return r.replay(func(int, *ability.Session) {})
}

// replay takes the usable rounds in their order, one at a time, and calls after with what is known
// after each round from the first usable one on. It costs no more than the estimate at the end
// alone.
func (r *Report) replay(after func(round int, known *ability.Session)) (ability.Result, error) {
	b := r.Group.Basis
	if b == nil {
		return ability.Result{}, fmt.Errorf("the report doesn't say what its estimate began with")
	}
	session, err := ability.NewSession(ability.Settings{
		Tiers: b.Tiers, Comfort: r.Group.Comfort, CommonSD: b.CommonSD,
		Prior: ability.Prior{
			Level: b.Level, LevelSD: b.LevelSD, SpreadMedian: b.SpreadMedian,
			SpreadSigma: b.SpreadSigma,
		},
	})
	if err != nil {
		return ability.Result{}, fmt.Errorf("estimating the group: %w", err)
	}
	taken := 0
	for i := range r.Rounds {
		if r.Rounds[i].Usable {
			if err := session.Add(r.Rounds[i].observation(b)); err != nil {
				return ability.Result{}, fmt.Errorf("estimating the group: %w", err)
			}
			if b.Calls {
				session.Called(r.Rounds[i].Difficulty)
			}
			taken++
		}
		if taken > 0 {
			after(i, session)
		}
	}
	return session.Result(), nil
}

// known writes the level after the round.
func (r *Round) known(belief *ability.Posterior) {
	level, sd := belief.Level()
	r.Level, r.LevelSD = pointer(rounded(level, 2)), pointer(rounded(sd, 2))
	r.LevelInterval = &[2]float64{
		rounded(belief.LevelQuantile(0.05), 2),
		rounded(belief.LevelQuantile(0.95), 2),
	}
}
