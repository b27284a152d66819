package acoustics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

func tone(hertz float64, rate, n int) []float32 {
	x := make([]float32, n)
	for i := range x {
		x[i] = float32(0.5 * math.Sin(2*math.Pi*hertz*float64(i)/float64(rate)))
	}
	return x
}

// levelOf is the power of the second half in dB, once filters have settled.
func levelOf(x []float32) float64 { return 10 * math.Log10(signal.Power(x[len(x)/2:])) }

// A Butterworth filter is 3.01 dB down at its corner and falls by 6 dB an octave and order
// (textbook).
func TestPhoneBandHasItsCorners(t *testing.T) {
	p := Phone{LowCut: 200, HighCut: 3000}
	through := func(hertz float64) float64 {
		x := tone(hertz, 16000, 32000)
		before := levelOf(x)
		p.limitBand(x, 16000)
		return levelOf(x) - before
	}
	assert.InDelta(t, 0, through(900), 0.2)
	assert.InDelta(t, -3.01, through(200), 0.2)
	assert.InDelta(t, -3.01, through(3000), 0.2)
	assert.InDelta(t, -24, through(50), 1.5)
	assert.Less(t, through(6000), -24.0)
}

func TestGainControlHoldsDownWhatIsLoud(t *testing.T) {
	const rate = 16000
	x := append(tone(1000, rate, 3*rate), tone(1000, rate, 3*rate)...)
	for i := range x[:3*rate] {
		x[i] *= 0.1 // 20 dB softer
	}
	gainControl(x, rate, 4)
	loud, soft := levelOf(x[3*rate:]), levelOf(x[:3*rate])
	assert.InDelta(t, 20/4.0, loud-soft, 1, "a ratio of 4 leaves a quarter of 20 dB")
}

func TestClippingReachesFullScale(t *testing.T) {
	x := tone(37, 16000, 16000)
	Phone{LowCut: 20, ClipDB: 6, Bits: 16}.Record(x, 16000)
	full := 0
	for _, v := range x {
		assert.LessOrEqual(t, math.Abs(float64(v)), 1.0)
		if math.Abs(float64(v)) > 0.999 {
			full++
		}
	}
	// A sine clipped at half its height is at the limit for two thirds of the time.
	assert.InDelta(t, 2.0/3, float64(full)/float64(len(x)), 0.03)
}

func TestBitsGiveThatManySteps(t *testing.T) {
	x := tone(3, 16000, 16000)
	Phone{LowCut: 1, Bits: 8}.Record(x, 16000)
	values := map[float32]bool{}
	for _, v := range x {
		values[v] = true
		assert.Zero(t, math.Mod(float64(v)*128, 1))
	}
	assert.LessOrEqual(t, len(values), 256)
	assert.Greater(t, len(values), 150)
}

func TestSilenceStaysSilent(t *testing.T) {
	x := make([]float32, 4000)
	Phone{LowCut: 90, AGC: 3, Coding: 0.5, ClipDB: 6, Bits: 8}.Record(x, 16000)
	assert.Zero(t, signal.Power(x))
}

func TestCodingSmearsBeforeTheOnsetAndKeepsTheLevel(t *testing.T) {
	x := make([]float32, 16000)
	for i, v := range sounds.NewInstrument(16000, signal.Stream(1, "t")).Strokes(sounds.Clap)[0] {
		x[8000+i] = float32(v)
	}
	before := signal.Power(x)
	lossless := append([]float32(nil), x...)
	coarsen(lossless, 16000, 1e-9)
	coarsen(x, 16000, 0.9)
	assert.InDelta(t, 0, 10*math.Log10(signal.Power(lossless)/before), 0.01,
		"without loss the frames add up to what they were")
	assert.InDelta(t, 0, 10*math.Log10(signal.Power(x)/before), 1.5)
	assert.Greater(t, signal.Power(x[7700:8000]), 1e-4*signal.Power(x), "smeared before the onset")
	assert.Zero(t, signal.Power(x[:7400]), "by no more than a frame")
}
