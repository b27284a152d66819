package acoustics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"

	"clapladder.example/assess/internal/synth/signal"
)

// schroeder measures the reverberation time of an octave by backward integration (Schroeder 1965):
// a line through the decay from −5 to −35 dB, times two (T30 of ISO 3382; ranges from memory).
func schroeder(response []float64, rate int, octave float64) float64 {
	x := append([]float64(nil), response...)
	for range 2 {
		f := signal.BandPass(octave, math.Sqrt2, float64(rate))
		for i := range x {
			x[i] = f.Next(x[i])
		}
	}
	remaining := make([]float64, len(x)+1)
	for i := len(x) - 1; i >= 0; i-- {
		remaining[i] = remaining[i+1] + x[i]*x[i]
	}
	var times, decibels []float64
	for i := range x {
		db := 10 * math.Log10(remaining[i]/remaining[0])
		if db <= -5 && db >= -35 {
			times, decibels = append(times, float64(i)/float64(rate)), append(decibels, db)
		}
	}
	_, slope := stat.LinearRegression(times, decibels, nil, false)
	return -60 / slope
}

func TestReverberationTimeIsWhatWasAsked(t *testing.T) {
	for _, c := range []struct {
		rt   float64
		rate int
	}{{0.2, 16000}, {0.3, 16000}, {0.6, 16000}, {0.6, 44100}, {1.2, 16000}, {2.0, 16000}} {
		mean := 0.0
		for seed := range uint64(3) {
			room := Room{RT60: c.rt, Volume: 60 + 400*math.Pow(c.rt, 1.5)}
			x := room.ImpulseResponse(c.rate, signal.Stream(seed, "t"))
			mid := (schroeder(x, c.rate, 500) + schroeder(x, c.rate, 1000)) / 2
			assert.InEpsilon(t, c.rt, mid, 0.10, "RT60 %g s at %d Hz, room %d", c.rt, c.rate, seed)
			mean += mid / 3
			assert.Less(t, schroeder(x, c.rate, 4000), 0.95*mid, "the treble dies faster")
		}
		assert.InEpsilon(t, c.rt, mean, 0.06, "mean of three rooms")
	}
}

// At the critical distance, 0.057·√(V/T) metres (Kuttruff, from memory), direct and reverberant
// energy are equal for a source that radiates evenly: 1.14 m for 200 m³ and 0.5 s.
func TestReverberationIsAsLoudAsTheRoomIsSmall(t *testing.T) {
	room := Room{RT60: 0.5, Volume: 200}
	assert.InDelta(t, 1.0/(1.14*1.14), room.Reverberance(), 0.005)
	energy := 0.0
	for _, v := range room.ImpulseResponse(16000, signal.Stream(1, "t")) {
		energy += v * v
	}
	assert.InEpsilon(t, room.Reverberance(), energy, 1e-9)
	assert.InDelta(t, math.Sqrt(facing)/4, Direct(4), 1e-12, "amplitude falls with the distance")
}

func TestConvolutionIsTheTextbookSum(t *testing.T) {
	rng := signal.Stream(1, "t")
	source, response := make([]float64, 9000), make([]float64, 700)
	for i := range source {
		if i < 3000 || i > 8000 { // silent blocks in between
			source[i] = rng.NormFloat64()
		}
	}
	for i := range response {
		response[i] = rng.NormFloat64() * math.Exp(-float64(i)/200)
	}
	got := make([]float32, len(source))
	NewConvolver(response).Add(got, func(_ int, block []float64, start int) bool {
		n := copy(block, source[start:])
		return n > 0
	})
	for i := range got {
		want := 0.0
		for k := 0; k < len(response) && k <= i; k++ {
			want += response[k] * source[i-k]
		}
		if math.Abs(want-float64(got[i])) > 1e-4 {
			t.Fatalf("sample %d is %g, want %g", i, got[i], want)
		}
	}
}

func TestFriendlyLengthsHaveSmallFactors(t *testing.T) {
	assert.Equal(t, 1, signal.FastLength(1))
	assert.Equal(t, 8, signal.FastLength(7))
	assert.Equal(t, 512, signal.FastLength(511))
	assert.Equal(t, 36, signal.FastLength(33))
}
