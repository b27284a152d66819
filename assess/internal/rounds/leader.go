package rounds

import (
	"math"

	"clapladder.example/assess/internal/robust"
	"clapladder.example/assess/internal/timbre"
)

// leader is what is believed of the leader's sound.
type leader struct {
	odds []float64 // natural-log odds of each attack that it is the leader's
	loud float64   // the leader's usual level once learnt, dB
	// clap and full are how high the activity of either kind stands at the leader's usual stroke.
	clap, full float64
	known      bool // learnt from this recording; before that, odds are those of any single source
}

// share is how far an attack is taken for the leader's, 0 to 1; 0 as long as nothing was learnt.
func (l leader) share(i int) float64 {
	if !l.known {
		return 0
	}
	return 1 / (1 + math.Exp(-2*(l.odds[i]-0.5)))
}

// features of an attack that tell the leader from others.
func (r *recording) features(i int) timbre.Features {
	return timbre.FeaturesOf(r.attacks[i], r.level[i])
}

func (r *recording) newClass(attacks []int) timbre.Class {
	features := make([]timbre.Features, len(attacks))
	for i, k := range attacks {
		features[i] = r.features(k)
	}
	return timbre.NewClass(attacks, features)
}

// learnt replaces the odds by those of this recording: the notes of the chosen calls against the
// attacks of the answers. With too few of either it keeps what it has.
func (l leader) learnt(r *recording, chosen []proposal) leader {
	var own, others []int
	last := map[int]bool{} // strokes that end a call: one may be the first of the group
	for _, p := range chosen {
		if p.answer == nil {
			continue
		}
		met := p.met()
		own = append(own, met...)
		last[met[len(met)-1]] = true
		from, to := p.from-0.1, p.to
		for i := r.attackFrom(from); i < len(r.attacks) && r.attacks[i].Time < to; i++ {
			others = append(others, i)
		}
	}
	if len(own) < leastLearnt {
		return l
	}
	mine := r.newClass(own)
	var clap, full []float64
	for _, p := range chosen {
		for _, i := range p.met() {
			c, f := r.strokeHeight(r.attacks[i].Time)
			clap, full = append(clap, c), append(full, f)
		}
	}
	theirs := r.newClass(others)
	next := leader{
		known: true, loud: mine.Median[timbre.LevelFeature], clap: robust.Median(clap), full: robust.Median(full),
		odds: make([]float64, len(r.attacks)),
	}
	surplus := 0.0
	if len(others) >= leastLearnt {
		surplus = mine.Surplus(&theirs)
	}
	for i := range r.attacks {
		x := r.features(i)
		odds := l.odds[i]
		strong := r.attacks[i].Low || x[timbre.LevelFeature] > next.loud-strongBelow && !last[i]
		if len(others) >= leastLearnt {
			odds = mine.Log(i, x, strong) - theirs.Log(i, x, true) - surplus
		}
		// However like the leader's an attack is in colour, far below the leader's level it is not
		// a call.
		below := farBelow
		if r.attacks[i].Low {
			below = farBelowLow
		}
		if quiet := next.loud - below - x[timbre.LevelFeature]; quiet > 0 {
			odds -= quiet / 3
		}
		next.odds[i] = clamp(odds, oddsLimit)
	}
	return next
}
