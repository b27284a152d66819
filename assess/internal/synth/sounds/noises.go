package sounds

import (
	"math"
	"math/rand/v2"

	"clapladder.example/assess/internal/synth/signal"
)

// Ring adds a telephone that rings for ten seconds: two tones in turn, twenty times a second, two
// seconds on and two off. It returns where it sounds.
func Ring(dst []float32, fs float64, rng *rand.Rand) []signal.Span {
	start := rng.Float64() * math.Max(0, float64(len(dst))/fs-10)
	low := signal.Between(rng, 700, 1300)
	tones := [2]float64{low, low * 1.25}
	var spans []signal.Span
	for k := range 3 {
		span := signal.Span{Start: start + 4*float64(k), End: start + 4*float64(k) + 2}
		spans = append(spans, span)
		phase := 0.0
		for i := int(span.Start * fs); i < min(int(span.End*fs), len(dst)); i++ {
			t := float64(i)/fs - span.Start
			phase += 2 * math.Pi * tones[int(t*20)%2] / fs
			dst[i] += float32(math.Sin(phase) + 0.4*math.Sin(3*phase))
		}
	}
	return spans
}

// Slam adds a door: a dull heavy blow with a rattle. It returns where it sounds.
func Slam(dst []float32, fs float64, rng *rand.Rand) signal.Span {
	low := signal.Between(rng, 60, 110)
	blow := hit{
		noise: 1, noiseDecay: 0.02, noiseHigh: 2500, attack: 0.001,
		modes: []mode{{low, 0.09, 1}, {2.3 * low, 0.05, 0.6}, {6.2 * low, 0.02, 0.4}},
	}
	at := rng.IntN(len(dst))
	for k := range 2 {
		start := at + int(0.045*float64(k)*fs)
		for i, v := range blow.render(int(fs), [2]float64{1, 1}, rng) {
			if start+i < len(dst) {
				dst[start+i] += float32(v * (1 - 0.6*float64(k)))
			}
		}
	}
	return signal.Span{Start: float64(at) / fs, End: float64(at)/fs + 0.3}
}
