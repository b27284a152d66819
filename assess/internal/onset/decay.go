package onset

import (
	"math"
	"slices"

	"clapladder.example/assess/internal/robust"
)

// roomKernel measures how single claps die away in this recording: the median slope of the level
// after clear attacks, and the median share of energy that comes at once. Without a clear attack it
// takes a medium room.
func (d *detector) roomKernel(attacks []Attack) Kernel {
	clap := d.e.clap
	attacks = slices.DeleteFunc(slices.Clone(attacks), func(a Attack) bool { return a.onlyLow })
	var decays, directs []float64
	for i, a := range attacks {
		if a.clapContrast < decayClear {
			continue
		}
		start := int(a.Time * FrameRate)
		end := min(start+decayTo, len(clap))
		if i+1 < len(attacks) {
			end = min(end, int(attacks[i+1].Time*FrameRate)-3)
		}
		floor := tailAboveFloor * clapFloor(&d.floors, start)
		if slope, level, ok := d.tail(start+decayFrom, end, floor); ok {
			decay := min(max(-1/slope, decayLeast), decayMost)
			decays = append(decays, decay)
			// The tail's line, followed back to the attack, holds level0 * decay of energy.
			tail := math.Exp(level) * math.Exp(-slope*float64(decayFrom)*FrameSeconds) * decay * FrameRate
			all := a.Power + tail*math.Exp(-0.012/decay)
			directs = append(directs, max(0, 1-tail/max(all, silentPower)))
		}
	}
	if len(decays) < decayFewClaps {
		return Kernel{Direct: directDefault, Decay: decayDefault}
	}
	return Kernel{Direct: robust.Upper(directs), Decay: robust.Upper(decays)}
}

// tail fits a straight line to the log power of frames from to end-1, as long as they lie above
// floor. slope is per second, level the natural log of the power at from.
func (d *detector) tail(from, end int, floor float64) (slope, level float64, ok bool) {
	var n, sx, sy, sxx, sxy float64
	for i := from; i+1 < end; i += 2 {
		p := float64(d.e.clap[i]+d.e.clap[i+1]) / 2
		if p < floor {
			break
		}
		x, y := float64(i-from)*FrameSeconds, math.Log(p)
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	if n < decayFew {
		return 0, 0, false
	}
	slope = (n*sxy - sx*sy) / (n*sxx - sx*sx)
	return slope, (sy - slope*sx) / n, slope < -1
}
