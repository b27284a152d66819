package signal

import (
	"math"
)

// SoundSpeed in metres a second at 20 °C.
const SoundSpeed = 343.0

// FromDB turns a level into an amplitude factor.
func FromDB(db float64) float64 { return math.Pow(10, db/20) }

// Clamp is x, or the end of the range that it is beyond.
func Clamp(x, least, most float64) float64 { return math.Max(least, math.Min(most, x)) }

// Power is the mean square.
func Power(x []float32) float64 {
	sum := 0.0
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return sum / math.Max(1, float64(len(x)))
}

// FastLength is the next length that a mixed-radix FFT handles fast.
func FastLength(n int) int {
	for size := n; ; size++ {
		rest := size
		for _, prime := range []int{2, 3, 5} {
			for rest%prime == 0 {
				rest /= prime
			}
		}
		if rest == 1 {
			return size
		}
	}
}
