package onset

import (
	"math"
	"slices"
)

// lowAttacks finds sharp rises of the low band alone; taken are those of the clap band, ascending.
// The result is in order of time.
func (d *detector) lowAttacks(taken []Attack) []Attack {
	band := d.e.band[lowBand]
	var found []Attack
	next, last := 0, -attackHold
	for i := 0; i+1 < len(band); i++ {
		now := max(band[i], band[i+1])
		if i-last < attackHold {
			continue
		}
		before := loudestBefore(band, i, now/lowFactor)
		if now <= lowFactor*before {
			continue
		}
		floor := floorAllowance * d.floors[lowBand].At(i)
		if 10*math.Log10(float64(now+floor)/float64(before+floor)) < lowRise {
			continue
		}
		for next < len(taken) && int(taken[next].Time*FrameRate) < i-lowApart {
			next++
		}
		if next < len(taken) && int(taken[next].Time*FrameRate) <= i+lowApart {
			continue
		}
		a := d.describeLow(i)
		struck := now > struckFactor*before && a.Contrast >= struckContrast &&
			now > struckShare*slices.Max(band[i:min(len(band), i+struckReach)])
		if (struck || a.Concentration >= lowConcentration) && a.Contrast >= lowContrast {
			found, last = append(found, a), i
		}
	}
	return found
}

// describeLow measures an attack of the low band.
func (d *detector) describeLow(i int) Attack {
	a := d.describe(i, 0)
	band := d.e.band[lowBand]
	own := d.direct(band, strokeStart(band, i), float64(d.floors[lowBand].At(i)))
	a.Rise, a.Contrast, a.Concentration, a.Low = own.contrast, own.contrast, own.concentration, true
	a.onlyLow = true
	return a
}
