package acoustics

import (
	"math"

	"clapladder.example/assess/internal/synth/signal"
)

// Levelling is a recorder's automatic gain: it follows the level, brings it toward a fixed one and
// lifts what is soft. Short times pump, long ones leave the first strokes after a pause too loud.
type Levelling struct {
	Attack  float64 // seconds until the gain has come down
	Release float64 // seconds in which it comes up again by 10 dB
	LiftDB  float64 // most that soft sound is raised above the loudest; 0 means no levelling
}

// level applies the levelling: full at the loudest, so that everything below is lifted toward it.
func (l Levelling) level(x []float32, fs float64) {
	if l.LiftDB == 0 {
		return
	}
	attack := signal.OnePole(1/(2*math.Pi*math.Max(l.Attack, 1e-4)), fs)
	release := signal.OnePole(math.Ln10/(2*math.Pi*math.Max(l.Release, 1e-3)), fs)
	loudest := loudest(x, fs)
	if loudest == 0 {
		return
	}
	least := loudest * math.Pow(10, -l.LiftDB/10)
	smooth, level := signal.OnePole(30, fs), loudest*0.05
	mean := level
	for i, v := range x {
		mean += smooth * (float64(v)*float64(v) - mean)
		if mean > level {
			level += attack * (mean - level)
		} else {
			level += release * (mean - level)
		}
		x[i] = v * float32(math.Sqrt(loudest/math.Max(level, least)))
	}
}

// limit is a fast limiter behind too much gain: the loudest peak would be the given dB above it. Its
// gain comes down at once and back within some 60 ms.
func limit(x []float32, fs, over float64) {
	peak := 0.0
	for _, v := range x {
		peak = math.Max(peak, math.Abs(float64(v)))
	}
	if peak == 0 || over == 0 {
		return
	}
	most := peak / signal.FromDB(over)
	release, held := math.Exp(-1/(0.06*fs)), 0.0
	for i, v := range x {
		held = math.Max(math.Abs(float64(v)), held*release)
		x[i] = v * float32(math.Min(1, most/math.Max(held, 1e-30)))
	}
}

// gate shuts what is softer than a threshold relative to the loudest: it opens within 3 ms, stays
// open for 40 ms, shuts within 60 ms and leaves 30 dB less.
func gate(x []float32, fs, db float64) {
	if db == 0 {
		return
	}
	threshold := loudest(x, fs) * math.Pow(10, db/10)
	follow := signal.OnePole(100, fs)
	opening, shutting := signal.OnePole(1/(2*math.Pi*0.003), fs), signal.OnePole(1/(2*math.Pi*0.06), fs)
	mean, gain, held := 0.0, 0.0, 0
	for i, v := range x {
		mean += follow * (float64(v)*float64(v) - mean)
		if mean > threshold {
			held = int(0.04 * fs)
		}
		if held > 0 {
			held--
			gain += opening * (1 - gain)
		} else {
			gain += shutting * (signal.FromDB(-30) - gain)
		}
		x[i] = v * float32(gain)
	}
}

// loudest is the largest mean power of 10 ms.
func loudest(x []float32, fs float64) float64 {
	frame, most := max(1, int(0.01*fs)), 0.0
	for i := 0; i+frame <= len(x); i += frame {
		most = math.Max(most, signal.Power(x[i:i+frame]))
	}
	return most
}
