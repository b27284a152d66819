package ability

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// The simulated world. It shares the package's definitions (what a level, a
// spread and a comfort tier are) but none of its arithmetic: people are drawn
// one by one and answer one by one.

// world is what all groups of a simulation have in common.
type world struct {
	tiers          int
	discrimination float64 // of every group; 0 draws it from the package's prior
	random         bool    // phrases in random instead of adaptive order
	verdicts       bool    // a leader's verdict instead of a share
	wrong          float64 // chance that a round is not what it seems and its share arbitrary
}

// condition is one cell of the simulation.
type condition struct {
	people          int
	mix             string  // "alike", "normal" or "thirds"
	difficultyError float64 // SD of true minus stated difficulty, tiers
	noise           float64 // SD of the microphone's error of a share
}

func (c condition) String() string {
	return fmt.Sprintf("%2d people %-6s error %.1f noise %.2f", c.people, c.mix, c.difficultyError, c.noise)
}

// crowd is a group with everything known.
type crowd struct {
	pool           float64 // mean of what the people were drawn from
	people         []float64
	discrimination float64
}

// newCrowd draws the pool's level from the prior and then the people: "alike"
// with SD 0.5, "normal" with an SD drawn from the prior of the spread, "thirds"
// in three equal classes two tiers apart with SD 0.5 each.
func newCrowd(rng *rand.Rand, w world, c condition) crowd {
	prior := PriorForTiers(w.tiers)
	g := crowd{pool: prior.Level + prior.LevelSD*rng.NormFloat64(), discrimination: w.discrimination}
	for g.discrimination == 0 {
		a := discriminationMedian * math.Exp(discriminationSigma*rng.NormFloat64())
		if a >= discriminationLow && a <= discriminationHigh {
			g.discrimination = a
		}
	}
	sd := 0.5
	if c.mix == "normal" {
		sd = usualSpread * math.Exp(usualSpreadSigma*rng.NormFloat64())
	}
	first := rng.IntN(3)
	for i := range c.people {
		class := 0
		if c.mix == "thirds" {
			class = 2 * ((first+i)%3 - 1)
		}
		g.people = append(g.people, g.pool+float64(class)+sd*rng.NormFloat64())
	}
	return g
}

// chance is that of one person to manage a phrase.
func (g crowd) chance(person, difficulty float64) float64 {
	return 1 / (1 + math.Exp(-g.discrimination*(person-difficulty)))
}

func (g crowd) level() float64 {
	sum := 0.0
	for _, p := range g.people {
		sum += p
	}
	return sum / float64(len(g.people))
}

func (g crowd) spread() float64 {
	mean, square := g.level(), 0.0
	for _, p := range g.people {
		square += (p - mean) * (p - mean)
	}
	return math.Sqrt(square / float64(len(g.people)))
}

// mix is the true word for the spread.
func (g crowd) mix() mix {
	switch s := g.spread(); {
	case s < alikeBelow:
		return alike
	case s > mixedAbove:
		return mixed
	}
	return someSpread
}

// tier is the true comfort tier of the people in the room.
func (g crowd) tier(highest int, comfort float64) int {
	for t := 1; t <= highest; t++ {
		if share, _ := g.expected(float64(t)); share < comfort {
			return t - 1
		}
	}
	return highest
}

// respond plays a phrase: each person manages it or not, the microphone errs
// and clips.
func (g crowd) respond(rng *rand.Rand, difficulty, noise float64) float64 {
	got := 0
	for _, p := range g.people {
		if rng.Float64() < g.chance(p, difficulty) {
			got++
		}
	}
	share := float64(got)/float64(len(g.people)) + noise*rng.NormFloat64()
	return min(max(share, 0), 1)
}

// expected is the share expected to manage a phrase, and what chance among the
// people adds to its variance.
func (g crowd) expected(difficulty float64) (share, luck float64) {
	n := float64(len(g.people))
	for _, p := range g.people {
		q := g.chance(p, difficulty)
		share += q / n
		luck += q * (1 - q) / (n * n)
	}
	return share, luck
}

// ceiling is how often the best possible estimate names the right tier: one that
// knows the group's curve but for its place, and hears the given number of
// phrases that tell most about the place. Each of them shows it with the
// variance d² + (noise² + luck)/slope².
func (g crowd) ceiling(w world, c condition, rounds int) float64 {
	low, high := -40.0, 60.0
	for high-low > 1e-6 {
		if share, _ := g.expected((low + high) / 2); share >= DefaultComfort {
			low = (low + high) / 2
		} else {
			high = (low + high) / 2
		}
	}
	best := math.Inf(1)
	for step := -30; step <= 60; step++ {
		b := low + float64(step)/10
		above, luck := g.expected(b - 0.01)
		below, _ := g.expected(b + 0.01)
		slope := (above - below) / 0.02
		best = min(best, c.difficultyError*c.difficultyError+(c.noise*c.noise+luck)/(slope*slope))
	}
	sd := math.Sqrt(best / float64(rounds))
	chance := 1.0
	normal := func(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
	if edge := math.Floor(low); edge < float64(w.tiers) {
		chance -= normal((low - max(edge+1, 1)) / sd)
	}
	if edge := min(math.Floor(low), float64(w.tiers)); edge >= 1 {
		chance -= normal((edge - low) / sd)
	}
	return chance
}

// judge is a leader's verdict on a share heard with an error.
func judge(rng *rand.Rand, share float64) Verdict {
	switch heard := share + DefaultVerdictSD*rng.NormFloat64(); {
	case heard >= cutGot:
		return Got
	case heard >= cutPartly:
		return Partly
	}
	return Lost
}

// bank is what may be called: stated difficulties, a fifth of a tier apart.
func (w world) bank() []float64 {
	var out []float64
	for i := range 5*(w.tiers-1) + 1 {
		out = append(out, 1+float64(i)/5)
	}
	return out
}

// tellsMost is the place of the candidate that is expected to tell most, the first of equals.
func tellsMost(ranked []Candidate) int {
	best := 0
	for i, c := range ranked {
		if c.Information > ranked[best].Information {
			best = i
		}
	}
	return best
}

// play runs a warm-up and calls report after every round.
func play(rng *rand.Rand, w world, c condition, scorer *Scorer, rounds int,
	report func(round int, g crowd, p *Posterior),
) error {
	g := newCrowd(rng, w, c)
	left := w.bank()
	p, err := NewPosterior(PriorForTiers(w.tiers))
	if err != nil {
		return err
	}
	for round := 1; round <= rounds; round++ {
		next := rng.IntN(len(left))
		if !w.random {
			ranked, err := scorer.Rank(p, left)
			if err != nil {
				return err
			}
			next = tellsMost(ranked)
		}
		stated := left[next]
		left = append(left[:next], left[next+1:]...)
		truth := stated + c.difficultyError*rng.NormFloat64()
		o := Observation{Difficulty: stated, DifficultySD: c.difficultyError, People: c.people}
		if w.verdicts {
			o.Verdict = judge(rng, g.respond(rng, truth, 0))
		} else {
			o.Share, o.ShareSD = g.respond(rng, truth, c.noise), c.noise
			if rng.Float64() < w.wrong {
				o.Share = rng.Float64()
			}
		}
		p, err = p.Update(o)
		if err != nil {
			return err
		}
		report(round, g, p)
	}
	return nil
}
