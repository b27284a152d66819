package onset

import (
	"cmp"
	"math"
	"slices"

	"clapladder.example/assess/internal/robust"
)

// lowCandidate is a frame at which the low band alone rises sharply.
type lowCandidate struct {
	frame   int
	above3k float64 // what describing it takes of the bands that are not kept
}

// rising reports whether the low band rises sharply at frame i: its power by then, and before.
func (d *detector) rising(i int) (now, before float32, ok bool) {
	band := d.e.band[lowBand]
	now = max(band[i], band[i+1])
	before = loudestBefore(band, i, now/lowFactor)
	if now <= lowFactor*before {
		return now, before, false
	}
	floor := floorAllowance * d.floors[lowBand].At(i)
	return now, before, !(10*math.Log10(float64(now+floor)/float64(before+floor)) < lowRise)
}

// lowCandidates appends the frames from one on up to another at which the low band rises.
func (d *detector) lowCandidates(found []lowCandidate, from, to int) []lowCandidate {
	for i := from; i < min(to, d.e.frames()-1); i++ {
		if _, _, ok := d.rising(i); ok {
			found = append(found, lowCandidate{d.first + i, d.above3k(i)})
		}
	}
	return found
}

// lowAttacks finds sharp rises of the low band alone, among rises of the whole recording; taken are
// those of the clap band, ascending. The result is in order of time.
func (d *detector) lowAttacks(taken []Attack, rises []lowCandidate) []Attack {
	band := d.e.band[lowBand]
	var found, ringing, doubtful []Attack
	next, last := 0, -attackHold
	for _, r := range rises {
		i := r.frame
		if i-last < attackHold {
			continue
		}
		now, before, _ := d.rising(i)
		for next < len(taken) && int(taken[next].Time*FrameRate) < i-lowApart {
			next++
		}
		if next < len(taken) && int(taken[next].Time*FrameRate) <= i+lowApart {
			continue
		}
		a := d.describeLow(i, r.above3k)
		atOnce := now > struckShare*slices.Max(band[i:min(len(band), i+struckReach)])
		struck := atOnce && now > struckFactor*before && a.Contrast >= struckContrast
		switch {
		case a.Contrast < lowContrast:
		case a.Concentration >= lowConcentration:
			found, last = append(found, a), i
		case struck:
			found, last = append(found, a), i
			ringing = append(ringing, a)
		case atOnce:
			doubtful = append(doubtful, a)
		}
	}
	return withDrum(found, ringing, doubtful)
}

// withDrum adds to the low attacks those of the doubtful ones that sound as the drum does whose
// strokes out of quiet are known: while it rings, its next stroke rises less.
func withDrum(found, known, doubtful []Attack) []Attack {
	if len(known) < drumFew || len(doubtful) == 0 {
		return found
	}
	usual := func(of func(Attack) float64) float64 {
		values := make([]float64, len(known))
		for i, a := range known {
			values[i] = of(a)
		}
		return robust.Upper(values)
	}
	level := usual(Attack.Level)
	thump := usual(func(a Attack) float64 { return a.Thump })
	colour := usual(func(a Attack) float64 { return a.Colour })
	strict := found
	last := math.Inf(-1)
	for _, a := range doubtful {
		near := func(b Attack) bool { return math.Abs(a.Time-b.Time) < attackHold*FrameSeconds }
		if math.Abs(a.Level()-level) > drumLevel || math.Abs(a.Thump-thump) > drumThump ||
			math.Abs(a.Colour-colour) > drumColour || a.Time-last < attackHold*FrameSeconds ||
			slices.ContainsFunc(strict, near) {
			continue
		}
		found, last = append(found, a), a.Time
	}
	slices.SortFunc(found, func(a, b Attack) int { return cmp.Compare(a.Time, b.Time) })
	return found
}

// describeLow measures an attack of the low band.
func (d *detector) describeLow(i int, above3k float64) Attack {
	a := d.describe(i, above3k)
	band := d.e.band[lowBand]
	own := d.direct(band, strokeStart(band, i), float64(d.floors[lowBand].At(i)))
	a.Rise, a.Contrast, a.Concentration, a.Low = own.contrast, own.contrast, own.concentration, true
	a.onlyLow = true
	return a
}
