package acoustics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess/internal/synth/signal"
)

// quietThenLoud is two seconds of a tone 30 dB down, two seconds of it full, and two down again.
func quietThenLoud() []float32 {
	x := tone(1000, 16000, 6*16000)
	for i := range x {
		if i < 2*16000 || i >= 4*16000 {
			x[i] *= float32(signal.FromDB(-30))
		}
	}
	return x
}

func TestLevellingLiftsWhatIsSoft(t *testing.T) {
	x := quietThenLoud()
	Levelling{Attack: 0.01, Release: 0.3, LiftDB: 20}.level(x, 16000)
	soft, loud, again := loudness(x, 1.5, 1.9), loudness(x, 3, 3.9), loudness(x, 5.5, 5.9)
	assert.InDelta(t, 10, loud-soft, 1, "30 dB less 20")
	assert.InDelta(t, soft, again, 1)
	x = quietThenLoud()
	Levelling{Attack: 0.2, Release: 1, LiftDB: 20}.level(x, 16000)
	assert.Greater(t, loudness(x, 2.05, 2.1), loudness(x, 3.5, 3.9)+3, "a slow one starts too loud")
	assert.Less(t, loudness(x, 4.1, 4.3)+5, loudness(x, 5.8, 5.99), "and comes up over seconds")
}

func TestLimiterTakesThePeaks(t *testing.T) {
	x := quietThenLoud()
	before := loudness(x, 1, 1.9)
	limit(x, 16000, 20)
	assert.InDelta(t, 20, loudness(x, 1, 1.9)-loudness(x, 3, 3.9)+30, 1)
	assert.InDelta(t, before, loudness(x, 1, 1.9), 0.1, "what is soft stays")
	peak := 0.0
	for _, v := range x {
		peak = math.Max(peak, math.Abs(float64(v)))
	}
	assert.InDelta(t, 0.05, peak, 0.001)
}

func TestGateShutsOnWhatIsSoft(t *testing.T) {
	x := quietThenLoud()
	before := loudness(x, 1, 1.9)
	loud := loudness(x, 3, 3.9)
	gate(x, 16000, -20)
	assert.InDelta(t, -30, loudness(x, 1, 1.9)-before, 1)
	assert.InDelta(t, 0, loudness(x, 3, 3.9)-loud, 0.1)
	gate(x, 16000, 0)
	assert.InDelta(t, 0, loudness(x, 3, 3.9)-loud, 0.1, "none")
}

// loudness of a stretch of time, seconds at 16 kHz, in dB.
func loudness(x []float32, from, to float64) float64 {
	return 10 * math.Log10(signal.Power(x[int(from*16000):int(to*16000)]))
}
