package onset

import (
	"math"
	"slices"
)

const (
	decayFrom    = 10 // frames after an attack where its own sound is over
	decayTo      = 90 // frames: 180 ms
	decayFew     = 12 // frames that make a slope
	decayDefault = 0.045
	decayLeast   = 0.012 // RT60 0.17 s: smaller is outdoors, and the fit would divide by next to nothing
	decayMost    = 0.22  // RT60 3 s
)

// roomKernel measures how single claps die away in this recording: the median slope of the level after clear attacks, and
// the median share of energy that comes at once. Without a clear attack it takes a medium room.
func (d *detector) roomKernel(attacks []Attack) Kernel {
	clap := d.e.Clap
	attacks = slices.DeleteFunc(slices.Clone(attacks), func(a Attack) bool { return a.onlyLow })
	var decays, directs []float64
	for i, a := range attacks {
		if a.clapContrast < 9 {
			continue
		}
		start := int(a.Time * FrameRate)
		end := min(start+decayTo, len(clap))
		if i+1 < len(attacks) {
			end = min(end, int(attacks[i+1].Time*FrameRate)-3)
		}
		floor := 4 * float64(d.floors[Mid].At(start)+d.floors[High].At(start)+d.floors[Bright].At(start))
		if slope, level, ok := d.tail(start+decayFrom, end, floor); ok {
			decay := min(max(-1/slope, decayLeast), decayMost)
			decays = append(decays, decay)
			// The tail's line, followed back to the attack, holds level0 * decay of energy.
			tail := math.Exp(level) * math.Exp(-slope*float64(decayFrom)*FrameSeconds) * decay * FrameRate
			directs = append(directs, max(0, 1-tail/max(a.Power+tail*math.Exp(-0.012/decay), silentPower)))
		}
	}
	if len(decays) < 3 {
		return Kernel{Direct: 0.5, Decay: decayDefault}
	}
	slices.Sort(decays)
	slices.Sort(directs)
	return Kernel{Direct: directs[len(directs)/2], Decay: decays[len(decays)/2]}
}

// tail fits a straight line to the log power of frames from to end-1, as long as they lie above floor. slope is per second, level
// the natural log of the power at from.
func (d *detector) tail(from, end int, floor float64) (slope, level float64, ok bool) {
	var n, sx, sy, sxx, sxy float64
	for i := from; i+1 < end; i += 2 {
		p := float64(d.e.Clap[i]+d.e.Clap[i+1]) / 2
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
