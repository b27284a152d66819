package assess

import (
	"fmt"
	"slices"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/internal/response"
)

// Errors of a share that come on top of what one answer leaves open.
const (
	aloneFactor = 1.3  // where no phrase was clapped by everybody, or the leader played along
	nextShareSD = 0.22 // typical of a round to come
	// one person's answer: whether the whole phrase came back is heard right 94 times in 100
	// (tuning half)
	soloShareSD = 0.43
)

// judge writes the error of a usable round's share into the report.
func (h heardRound) judge(r *Round) {
	sd := h.Result.Evidence.SD
	switch {
	case h.tapped:
		sd = tapShareSD
	case h.Solo:
		sd, r.People = soloShareSD, 1
	case !h.Sure || h.Along:
		sd *= aloneFactor
	}
	r.ShareSD = new(rounded(sd, 3))
	if !h.tapped && !h.Solo {
		e := h.Result.Evidence
		own := normal90 * sd / e.SD * e.Own
		r.Reading = reading(e, sd/e.SD)
		r.ShareInterval = &[2]float64{rounded(max(*r.Share-own, 0), 3), rounded(min(*r.Share+own, 1), 3)}
	}
}

// reading is what a true share is heard as, with an error so many times as large.
func reading(e response.Share, wider float64) *ability.Reading {
	out := &ability.Reading{}
	for i := range out.Mean {
		out.Mean[i], out.Variance[i] = rounded(e.Mean[i], 4), rounded(e.Variance[i]*wider*wider, 4)
	}
	return out
}

// normal90 is the 90 % quantile of the standard normal distribution.
const normal90 = 1.2816

// conclude estimates the group by the rounds that were written down, and adds what follows from it.
func (r *Report) conclude(s *scale) error {
	g := &r.Group
	g.Basis = s.basis()
	if slices.ContainsFunc(r.Rounds, func(x Round) bool { return x.ShareInterval != nil }) {
		g.Basis.CommonSD = response.CommonSD
	}
	g.Pulse = meanOf(r.Rounds, func(x Round) *float64 { return x.Pulse })
	g.Pattern = meanOf(r.Rounds, func(x Round) *float64 { return x.Pattern })
	result, err := r.replay(func(i int, known *ability.Session) {
		if r.Rounds[i].Level == nil { // not told yet by an earlier report so far
			r.Rounds[i].known(known.Posterior())
		}
	})
	if err != nil {
		return err
	}
	g.UsableRounds = result.Rounds
	r.warnRounds()
	if result.Rounds > 0 {
		for _, w := range result.Warnings {
			r.warn(w.Code, w.Text)
		}
	}
	if result.Stated {
		g.state(result)
		if err := r.openers(s, result); err != nil {
			return err
		}
	}
	return r.nextCall(s, result)
}

// state fills in what is stated of the group.
func (g *Group) state(result ability.Result) {
	g.Ability, g.AbilitySD = new(rounded(result.Level, 2)), new(rounded(result.LevelSD, 2))
	g.AbilityInterval = &[2]float64{rounded(result.LevelLow, 2), rounded(result.LevelHigh, 2)}
	g.AbilitySpread, g.Mix, g.Tier = new(rounded(result.Spread, 2)),
		new(result.Mix), new(result.Tier)
	for _, chance := range result.MixChances {
		g.MixProbabilities = append(g.MixProbabilities, rounded(chance, 3))
	}
	for _, chance := range result.TierChances {
		g.TierProbabilities = append(g.TierProbabilities, rounded(chance, 3))
	}
}

// means of what was heard on and off the beat, over usable rounds; nil where there is none.
func meanOf(rounds []Round, get func(Round) *float64) *float64 {
	sum, n := 0.0, 0.0
	for _, r := range rounds {
		if x := get(r); r.Usable && x != nil {
			sum, n = sum+*x, n+1
		}
	}
	if n == 0 {
		return nil
	}
	return new(rounded(sum/n, 3))
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
	o.Reading = r.Reading
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
	r.Level, r.LevelSD = new(rounded(level, 2)), new(rounded(sd, 2))
	r.LevelInterval = &[2]float64{
		rounded(belief.LevelQuantile(0.05), 2),
		rounded(belief.LevelQuantile(0.95), 2),
	}
}
