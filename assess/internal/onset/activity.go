package onset

import (
	"math"
	"slices"
)

// ActivityStep is the step of [Analysis.Activity] in seconds.
const ActivityStep = 0.01

// Activity is how much clapping goes on: for each whole [ActivityStep] the energy in the clap band
// (with the low band too, for stamps and pats) that is new, without the room's tail and above the
// noise; full scale squared times frames. Bursts of one hand and of many raise it alike. The slice
// is the caller's.
func (a *Analysis) Activity(withLow bool) []float64 {
	energy := a.newEnergy(withLow)
	noise := noiseOf(energy)
	for i := range energy {
		energy[i] = max(0, energy[i]-noiseTimes*float64(noise.at(i)))
	}
	return energy
}

// newEnergy is the activity with what noise makes of it.
func (a *Analysis) newEnergy(withLow bool) []float64 {
	const frames = int(ActivityStep * FrameRate)
	clap, low := a.Envelope.Clap, a.Envelope.Low
	keep := math.Exp(-FrameSeconds / a.Kernel.Decay)
	energy := make([]float64, len(clap)/frames)
	before := 0.0
	for i := range energy {
		at := float64(i) * ActivityStep
		floor := aboveFloor * a.ClapFloor(at)
		if withLow {
			floor += aboveFloor * a.LowFloor(at)
		}
		for k := i * frames; k < (i+1)*frames; k++ {
			now := float64(clap[k])
			if withLow {
				now += float64(low[k])
			}
			energy[i] += max(0, now-keep*before-(1-keep)*floor)
			before = now
		}
	}
	return energy
}

// noiseOf is what noise alone makes of an activity: noise swings, and every swing upwards is energy
// that is new.
func noiseOf(energy []float64) spanQuantiles {
	curve := make([]float32, len(energy))
	for i, x := range energy {
		curve[i] = float32(x)
	}
	return quantilesOf(curve, noiseBlock, noiseShare, noiseReach, noiseAmong)
}

// Smooth convolves a curve with a normal curve of unit sum; sigma is its standard deviation in
// steps. Near an end the weights that fall outside are lost. The result is in the memory of out
// if that is enough, which must not be in's.
func Smooth(out, in []float32, sigma float64) []float32 {
	return SmoothPart(out, in, 0, len(in), sigma)
}

// SmoothPart is [Smooth] for the values from first up to end alone.
func SmoothPart(out, in []float32, first, end int, sigma float64) []float32 {
	reach := int(math.Ceil(3 * sigma))
	kernel := make([]float64, 2*reach+1)
	total := 0.0
	for i := range kernel {
		x := float64(i-reach) / sigma
		kernel[i] = math.Exp(-x * x / 2)
		total += kernel[i]
	}
	out = slices.Grow(out[:0], end-first)[:end-first]
	for i := first; i < end; i++ {
		from, to := max(0, i-reach), min(len(in), i+reach+1)
		weights := kernel[from-i+reach : to-i+reach]
		var s float64
		for k, x := range in[from:to] {
			s += weights[k] * float64(x)
		}
		out[i-first] = float32(s / total)
	}
	return out
}
