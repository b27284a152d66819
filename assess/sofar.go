package assess

import (
	"fmt"

	"clapladder.example/assess/ability"
)

// estimate takes the observations, those of the usable rounds in their order, one at a time, and writes into every round what is
// then known of the group. It costs no more than the estimate at the end alone.
func (r *Report) estimate(s *scale, observations []ability.Observation) (ability.Result, error) {
	session, err := ability.NewSession(ability.Settings{Tiers: s.highest, Comfort: s.Comfort, Prior: s.prior()})
	if err != nil {
		return ability.Result{}, fmt.Errorf("estimating the group: %w", err)
	}
	taken := 0
	for i := range r.Rounds {
		if r.Rounds[i].Usable {
			if err := session.Add(observations[taken]); err != nil {
				return ability.Result{}, fmt.Errorf("estimating the group: %w", err)
			}
			taken++
			if s.Prior == nil { // who knows the group calls by what they know: that is no news
				session.Called(r.Rounds[i].Difficulty)
			}
		}
		if taken > 0 {
			r.Rounds[i].known(session.Posterior())
		}
	}
	return session.Result(), nil
}

// known writes the level after the round.
func (r *Round) known(belief *ability.Posterior) {
	level, sd := belief.Level()
	r.Level, r.LevelSD = pointer(rounded(level, 2)), pointer(rounded(sd, 2))
	r.LevelInterval = &[2]float64{rounded(belief.LevelQuantile(0.05), 2), rounded(belief.LevelQuantile(0.95), 2)}
}
