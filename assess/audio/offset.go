package audio

import (
	"math"

	"clapladder.example/assess/internal/robust"
)

// smallOffset is what is left alone: -60 dB.
const smallOffset = 0.001

// steadyOffset is the constant offset (DC) of channel c in the blocks, 0 if there
// is none worth removing. It is the median, which bursts do not move, provided
// that
//   - the mean agrees: a square wave has a median, but no offset,
//   - each block agrees: a rumble wanders,
//   - it stands out from what chance makes of noise: six times the standard error
//     of a median, 1.25 sigma / sqrt(n).
//
// Exact zeros are left out: some recorders start with a moment of digital silence.
func steadyOffset(blocks [][]float32, c, channels int) float64 {
	total := 0
	for _, b := range blocks {
		total += len(b) / channels
	}
	stride := max(1, total/8192)
	var all, medians []float64
	sum, squares := 0.0, 0.0
	for _, b := range blocks {
		start := len(all)
		for i := c; i < len(b); i += stride * channels {
			if x := float64(b[i]); x != 0 {
				all = append(all, x)
				sum += x
				squares += x * x
			}
		}
		if len(all)-start >= 100 {
			medians = append(medians, robust.Upper(all[start:]))
		}
	}
	if len(all) == 0 {
		return 0
	}
	n := float64(len(all))
	offset, mean := robust.Upper(all), sum/n
	sigma := math.Sqrt(max(0, squares/n-mean*mean))
	near := func(x float64) bool { return math.Abs(x-offset) <= 0.3*math.Abs(offset) }
	if math.Abs(offset) < max(smallOffset, 6*1.25*sigma/math.Sqrt(n)) || !near(mean) {
		return 0
	}
	for _, m := range medians {
		if !near(m) {
			return 0
		}
	}
	return offset
}
