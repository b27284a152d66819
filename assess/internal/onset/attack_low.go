package onset

import "math"

// Stamps and pats hardly sound above 1 kHz, where attacks are looked for. Talk begins in the low band too, but not as fast and
// not over as soon. Set on synthetic warm-ups of the tuning half.
const (
	lowRise          = 8.0  // dB within two frames
	lowFactor        = 6    // a little less, as a factor: the logarithm is dear
	lowContrast      = 8.0  // dB
	lowConcentration = 0.22 // a syllable holds on for a tenth of a second
	lowApart         = 20   // frames: closer to an attack of the clap band it is the same stroke
)

// lowAttacks finds sharp rises of the low band alone; taken are those of the clap band, ascending. The result is in order of time.
func (d *detector) lowAttacks(taken []Attack) []Attack {
	band := d.e.Bands[Low]
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
		floor := floorAllowance * d.floors[Low].At(i)
		if 10*math.Log10(float64(now+floor)/float64(before+floor)) < lowRise {
			continue
		}
		for next < len(taken) && int(taken[next].Time*FrameRate) < i-lowApart {
			next++
		}
		if next < len(taken) && int(taken[next].Time*FrameRate) <= i+lowApart {
			continue
		}
		if a := d.describeLow(i); a.Contrast >= lowContrast && a.Concentration >= lowConcentration {
			found, last = append(found, a), i
		}
	}
	return found
}

// describeLow measures an attack of the low band.
func (d *detector) describeLow(i int) Attack {
	a := d.describe(i, 0)
	band := d.e.Bands[Low]
	own := d.direct(band, strokeStart(band, i), float64(d.floors[Low].At(i)))
	a.Rise, a.Contrast, a.Concentration, a.Low = own.contrast, own.contrast, own.concentration, true
	a.onlyLow = true
	return a
}
