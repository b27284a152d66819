package ability

import (
	"fmt"
	"math"

	"clapladder.example/assess/internal/words"
)

// Warning codes.
const (
	fewRounds     = "few-rounds"    // no tier stated
	loose         = "loose"         // tier stated but uncertain
	contradictory = "contradictory" // rounds deny each other
	oddRound      = "odd-round"     // single rounds that fit no group and count little
	allLow        = "all-low"       // little came back from every phrase
	allHigh       = "all-high"      // nearly everything came back from every phrase
	belowBank     = "below-bank"    // even the lowest tier looks too hard
	aboveBank     = "above-bank"    // the highest tier looks too easy
)

// Warning is a doubt about a result, or a caution, as data.
type Warning struct {
	Code   string // few-rounds, loose, contradictory, odd-round, all-low, all-high, below-bank, above-bank
	Text   string // one or two plain sentences for the leader
	Rounds []int  // rounds it is about, numbered from 0 as added; read only
}

const (
	lowShare   = 0.35
	highShare  = 0.85
	looseBelow = 0.5 // chance of the likeliest tier
	surelyOdd  = 0.8 // chance that a round is an outlier
)

// warnings lists the doubts about a result, the gravest first.
func warnings(settings Settings, r Result, rounds []Observation) []Warning {
	var list []Warning
	add := func(code string, rounds []int, format string, args ...any) {
		list = append(list, Warning{Code: code, Text: fmt.Sprintf(format, args...), Rounds: rounds})
	}

	if !r.Stated {
		missing := MinRounds - r.Rounds
		heard := "No usable round"
		if r.Rounds > 0 {
			heard = "Only " + words.Count(r.Rounds, "usable round")
		}
		add(fewRounds, nil, "%s: no tier is stated below %d. Call %s.",
			heard, MinRounds, words.Count(missing, "more phrase"))
	}
	odd, misfit := doubtful(r.posterior, rounds)
	if misfit || len(odd) > 1 {
		add(contradictory, odd, "The rounds deny each other more than chance explains: hard "+
			"phrases came back better than easy ones, or one phrase was taken for another. Check "+
			"which phrase was which before relying on the result.")
	} else if len(odd) == 1 {
		add(oddRound, odd, "Round %d fits none of the others and counts little. It may have been "+
			"a false start or another phrase.", odd[0]+1)
	}

	low, high := shareRange(rounds)
	if r.Rounds > 1 && high < lowShare {
		add(allLow, nil, "Little was heard from every phrase, the easiest too. That need not be "+
			"low ability: soft, seated, one-handed or ear-protected clapping is heard as less. "+
			"Call plain beats that everybody can clap and compare.")
	}
	if r.Rounds > 1 && low > highShare {
		add(allHigh, nil, "Nearly everybody got every phrase, so the level may be higher than "+
			"shown. Call something harder.")
	}
	if !r.Stated {
		return list
	}
	best := 0.0
	left := 1.0
	for _, c := range r.TierChances {
		best = max(best, c)
		left -= c
	}
	if best = words.Rounded(max(best, left)); best < looseBelow {
		add(loose, nil, "The tier is uncertain: the likeliest one has a chance of %s. Another "+
			"round or two would help.", words.Chance(best))
	}
	switch {
	case r.Tier == 0:
		add(belowBank, nil, "Fewer than %.0f %% of the group are expected to manage even tier 1, "+
			"unless they clapped too softly to be heard. Begin with the plain pulse.", 100*r.Comfort)
	case r.Tier == settings.Tiers && r.posterior.Share(float64(settings.Tiers+1)) >= r.Comfort:
		add(aboveBank, nil, "The group looks able to do more than tier %d, the bank's highest.",
			settings.Tiers)
	}
	return list
}

// shareRange returns the lowest and highest share of the usable rounds, 1 and 0
// without any.
func shareRange(rounds []Observation) (low, high float64) {
	low, high = 1, 0
	for _, o := range rounds {
		if o.usable() {
			low, high = min(low, o.heard()), max(high, o.heard())
		}
	}
	return low, high
}

// heard is the share, or the middle of what a verdict means.
func (o Observation) heard() float64 {
	if o.Verdict != NoVerdict {
		return o.Verdict.Share()
	}
	return clamp01(o.Share)
}

// doubtful returns the usable rounds that are outliers rather surely, and
// whether the others are further from what was expected of them than chance
// explains (upper half per cent of χ²).
func doubtful(p *Posterior, rounds []Observation) (odd []int, misfit bool) {
	sum, n := 0.0, 0
	known := map[phraseHeard]expected{} // phrases are called again and again
	for i, o := range rounds {
		if !o.usable() {
			continue // known before
		}
		round := newRound(o)
		phrase := round.phrase(o)
		if _, ok := known[phrase]; !ok {
			known[phrase] = p.expected(o, round)
		}
		chance, z := p.outlier(o, round), known[phrase].residual(o)
		if chance > surelyOdd {
			odd = append(odd, i)
			continue
		}
		sum += z * z
		n++
	}
	return odd, n > 1 && sum > chiSquareLimit(n)
}

// outlier returns the chance that a round already counted in p is an outlier.
func (p *Posterior) outlier(o Observation, round round) float64 {
	chance := 0.0
	errors := kernel(o.DifficultySD)
	reach := len(errors) / 2
	exact := make([]float64, p.columns+2*reach)
	smoothed := make([]float64, p.columns)
	table := curves()
	for r := range table {
		row, from := p.row(r)
		if len(row) == 0 {
			continue
		}
		likelihood := exact[:len(row)+2*reach]
		for i := range likelihood {
			likelihood[i] = 1
		}
		round.times(likelihood, p.level(from-reach), &table[r])
		smooth(smoothed[:len(row)], likelihood, errors)
		for i, w := range row {
			chance += w * round.outlier / smoothed[i]
		}
	}
	return chance
}

// phraseHeard is what the share expected of a round depends on.
type phraseHeard struct {
	difficulty, difficultySD, measurement, perPerson float64
	read                                             bool // whether there is a reading
	reading                                          Reading
}

func (r *round) phrase(o Observation) phraseHeard {
	p := phraseHeard{r.difficulty, o.DifficultySD, r.measurement, r.perPerson, false, Reading{}}
	if r.reading != nil {
		p.read, p.reading = true, *r.reading
	}
	return p
}

// expected is mean and standard deviation of a share before it is heard.
type expected struct{ mean, sd float64 }

// residual is the distance of what was heard from what was expected, in standard deviations.
func (e expected) residual(o Observation) float64 { return (o.heard() - e.mean) / e.sd }

// expected is what p expects to hear; the standard deviation is that of measurement, people,
// difficulty and belief together.
func (p *Posterior) expected(o Observation, ready round) expected {
	errors := kernel(o.DifficultySD)
	reach := len(errors) / 2
	moved := make([]float64, p.columns+2*reach) // weights of level plus error
	var mean, square float64
	table := curves()
	for r := range table {
		c := &table[r]
		row, from := p.row(r)
		moved := moved[:len(row)+2*reach]
		clear(moved)
		for i, w := range row {
			for j, e := range errors {
				moved[i+j] += w * e
			}
		}
		for i, w := range moved {
			at, f := place(p.level(from+i-reach) - ready.difficulty)
			share := c.share[at] + f*(c.share[at+1]-c.share[at])
			luck := c.luck[at] + f*(c.luck[at+1]-c.luck[at])
			heard, slope, variance := ready.heardOf(share)
			mean += w * heard
			square += w * (heard*heard + slope*slope*luck*ready.perPerson + variance)
		}
	}
	return expected{mean, math.Sqrt(square - mean*mean)}
}

// chiSquareLimit is the 99.5 % quantile of χ² with n degrees of freedom, by
// Wilson and Hilferty (1931): n(1 − 2/9n + z√(2/9n))³.
func chiSquareLimit(n int) float64 {
	const z = 2.5758293035489004
	k := 2 / (9 * float64(n))
	c := 1 - k + z*math.Sqrt(k)
	return float64(n) * c * c * c
}
