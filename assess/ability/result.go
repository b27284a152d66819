package ability

import "cmp"

// DefaultComfort is the share of the group that should manage a phrase for its
// tier to be comfortable.
const DefaultComfort = 0.7

// MinRounds is the number of usable rounds below which no tier is stated.
const MinRounds = 4

// intervalTail is what a 90 % interval leaves out on either side.
const intervalTail = 0.05

// Settings are what an estimate needs to know besides the rounds.
type Settings struct {
	// Tiers is the bank's highest tier, 1–100.
	Tiers int
	// Comfort is the comfort share, 0.05–0.95; zero means DefaultComfort.
	Comfort float64
	// CommonSD is what all rounds may err in common, in tiers of the level: a group's own way of
	// going wrong, a microphone that favours some of them. More rounds do not take it away. Zero
	// means none.
	CommonSD float64
	// Prior is the belief before the first round; the zero value means
	// PriorForTiers(Tiers).
	Prior Prior
}

func (s Settings) complete() (Settings, error) {
	s.Comfort = cmp.Or(s.Comfort, DefaultComfort)
	if s.Prior == (Prior{}) {
		s.Prior = PriorForTiers(s.Tiers)
	}
	s.Prior = s.Prior.Complete()
	return s, firstError(
		within("highest tier", float64(s.Tiers), 1, 100),
		checkComfort(s.Comfort),
		within("common error", s.CommonSD, 0, 2),
		s.Prior.check(),
	)
}

func checkComfort(share float64) error { return within("comfort share", share, 0.05, 0.95) }

// Result is what is known of a group. Its figures are given for any number of
// rounds; below MinRounds usable ones they are mostly prior and Stated is
// false, and then neither tier nor level should be shown. The zero value is not
// usable.
type Result struct {
	Rounds int  // usable rounds
	Stated bool // enough rounds to state a tier

	Level, LevelSD      float64 // mean and SD of the level of the people in the room, tiers
	LevelLow, LevelHigh float64 // 90 % interval of the level, tiers

	Spread, SpreadSD float64    // mean and SD of the spread of people, tiers
	Mix              string     // likeliest mix: alike, some spread or mixed
	MixChances       [3]float64 // chances of the three, in this order

	// Comfort is the comfort share used. Tier is the likeliest comfort tier: the
	// highest tier of which at least that share of the group manages a phrase in its
	// middle; 0 is below the bank.
	Comfort float64
	Tier    int
	// TierChances[i] is the chance that the comfort tier is exactly i+1, the last
	// or higher. What is missing to 1 is the chance of tier 0. Read only.
	TierChances []float64

	Warnings []Warning // read only

	posterior *Posterior
}

func newResult(settings Settings, posterior *Posterior, rounds []Observation) Result {
	r := Result{Comfort: settings.Comfort, posterior: posterior}
	for _, o := range rounds {
		if o.usable() {
			r.Rounds++
		}
	}
	r.Stated = r.Rounds >= MinRounds
	r.Level, r.LevelSD = posterior.Level()
	r.LevelLow = posterior.LevelQuantile(intervalTail)
	r.LevelHigh = posterior.LevelQuantile(1 - intervalTail)
	r.Spread, r.SpreadSD = posterior.spread()
	r.MixChances = posterior.mixChances()
	r.Mix = likeliest(r.MixChances).String()
	chances := posterior.tierChances(settings.Tiers, settings.Comfort)
	r.Tier, r.TierChances = likeliestTier(chances), chances[1:]
	r.Warnings = warnings(settings, r, rounds)
	return r
}

// Posterior returns the belief behind the result.
func (r Result) Posterior() *Posterior { return r.posterior }

// Estimate returns the result after all the rounds, in any order except that of
// tries at one phrase. The error is an *InputError.
func Estimate(settings Settings, rounds []Observation) (Result, error) {
	session, err := NewSession(settings)
	if err != nil {
		return Result{}, err
	}
	for _, o := range rounds {
		if err := session.Add(o); err != nil {
			return Result{}, err
		}
	}
	return session.Result(), nil
}
