package plan

import (
	"fmt"
	"math"

	"clapladder.example/assess/ability"
)

// Standard deviations of a level or tier that a leader names.
const (
	namedLevelSD = 0.3
	// A tier named is anywhere within it: the standard deviation of an even
	// distribution one unit wide, 1/√12.
	namedTierSD = 0.289
)

// Limits of a level or tier that can be named.
const (
	lowestLevel  = -5.0
	highestLevel = 25.0
	highestTier  = 20
)

// AtLevel is the belief about a group whose level the leader knows to about a
// third of a tier. The level is −5 to 25.
func AtLevel(level float64) (*ability.Posterior, error) {
	if !(level >= lowestLevel && level <= highestLevel) {
		return nil, fmt.Errorf("a level of %g is not on the scale; give a number from %g to %g",
			level, lowestLevel, highestLevel)
	}
	return ability.NewPosterior(ability.Prior{Level: level, LevelSD: namedLevelSD})
}

// AtTier is the belief about a group whose comfort tier the leader names: the
// share comfort of it just manages a difficulty somewhere within half a tier of
// tier + ½, so a phrase in the middle of the tier but not one in the middle of the
// next. Tier is 1 to 20; comfort is 0.05 to 0.95, and 0 means ability.DefaultComfort.
func AtTier(tier int, comfort float64) (*ability.Posterior, error) {
	if tier < 1 || tier > highestTier {
		return nil, fmt.Errorf("there is no tier %d; give a whole number from 1 to %d", tier, highestTier)
	}
	comfort, err := checkedComfort(comfort)
	if err != nil {
		return nil, err
	}
	middle := float64(tier) + 0.5
	prior := ability.Prior{Level: middle, LevelSD: namedTierSD, SpreadSigma: 0.05}
	at, err := ability.NewPosterior(prior)
	if err != nil {
		return nil, err
	}
	prior.Level += middle - managed(at, comfort)
	return ability.NewPosterior(prior)
}

// managed is the difficulty that the share comfort of the group is expected to
// manage, by bisection; the expected share falls with difficulty.
func managed(belief *ability.Posterior, comfort float64) float64 {
	level, sd := belief.Level()
	low, high := level-30-5*sd, level+30+5*sd
	for range 50 {
		middle := (low + high) / 2
		if belief.Share(middle) >= comfort {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

func checkedComfort(comfort float64) (float64, error) {
	if comfort == 0 {
		return ability.DefaultComfort, nil
	}
	if math.IsNaN(comfort) || comfort < 0.05 || comfort > 0.95 {
		return 0, fmt.Errorf("a comfort share of %g can't be planned for; give a number from "+
			"0.05 to 0.95", comfort)
	}
	return comfort, nil
}
