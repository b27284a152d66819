package onset

import "math"

const (
	// OutlineFloor is the power that counts as silence in an [Envelope.Outline], dB below the
	// loudest step.
	OutlineFloor = -60.0

	leastOutlineStep = 10 // frames: 20 ms, as fine as a drawing needs
)

// Outline is how the power of all bands runs, to draw a recording: for each step the largest power
// of a frame in dB relative to the loudest step, from [OutlineFloor] to 0. Steps are a whole number
// of frames, at least 20 ms, and as long as it takes to get along with the given number of values;
// the last one may be cut short. A recording without any sound is OutlineFloor throughout. The
// slice is the caller's.
func (e *Envelope) Outline(most int) (powers []float64, step float64) {
	frames := max(leastOutlineStep, (e.Frames()+most-1)/max(most, 1))
	powers = make([]float64, 0, (e.Frames()+frames-1)/frames)
	loudest := 0.0
	for from := 0; from < e.Frames(); from += frames {
		largest := 0.0
		for i := from; i < min(from+frames, e.Frames()); i++ {
			largest = max(largest, float64(e.Low[i]+e.Clap[i]))
		}
		powers = append(powers, largest)
		loudest = max(loudest, largest)
	}
	for i, power := range powers {
		powers[i] = OutlineFloor
		if power > 0 {
			powers[i] = max(OutlineFloor, 10*math.Log10(power/loudest))
		}
	}
	return powers, float64(frames) * FrameSeconds
}
