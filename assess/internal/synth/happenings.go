package synth

import (
	"math"
	"math/rand/v2"
	"slices"
)

// ring adds a telephone that rings for ten seconds: two tones in turn, twenty times a second, two
// seconds on and two off. It returns where it sounds.
func ring(dst []float32, fs float64, rng *rand.Rand) []Span {
	start := rng.Float64() * math.Max(0, float64(len(dst))/fs-10)
	low := between(rng, 700, 1300)
	tones := [2]float64{low, low * 1.25}
	var spans []Span
	for k := range 3 {
		span := Span{start + 4*float64(k), start + 4*float64(k) + 2}
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

// slam adds a door: a dull heavy blow with a rattle. It returns where it sounds.
func slam(dst []float32, fs float64, rng *rand.Rand) Span {
	low := between(rng, 60, 110)
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
	return Span{float64(at) / fs, float64(at)/fs + 0.3}
}

// wall is what of a sound comes through one, Hz.
const wall = 700

// throughTheWall writes another group's warm-up as heard next door, over and over.
func (m *mixer) throughTheWall(next NextDoor) []Span {
	s := Scene{
		Seed: next.Seed, Rate: m.plan.scene.Rate, Calls: slices.Clone(m.plan.scene.Calls),
		Leader: Leader{Sound: Drum},
		Group:  Group{People: 15, Level: 5}, Background: Background{NoiseDB: -60},
		Flow: Flow{Seamless: true},
	}
	for i := range s.Calls {
		s.Calls[i].Answer, s.Calls[i].Pause = Answered, 0
	}
	s, err := s.withDefaults()
	if err != nil {
		return nil
	}
	other := newMixer(makePlan(s), Material{}, nil)
	other.strokes()
	fs := float64(s.Rate)
	filters := []*biquad{lowPass(wall, 0.7, fs), lowPass(wall, 0.7, fs)}
	for i := range m.dry {
		y := float64(other.mix[i%len(other.mix)])
		for _, f := range filters {
			y = f.next(y)
		}
		m.dry[i] = float32(y)
	}
	return []Span{{0, m.plan.truth.Duration}}
}

// moved lowers the strokes from the moment on at which the phone was moved.
func (m *mixer) moved() {
	if m.plan.truth.Moved == 0 {
		return
	}
	fs := float64(m.plan.scene.Rate)
	from, fade := int(m.plan.truth.Moved*fs), 0.3*fs
	less := decibels(-m.plan.scene.Phone.MovedDB)
	for i := from; i < len(m.mix); i++ {
		m.mix[i] *= float32(1 + (less-1)*math.Min(1, float64(i-from)/fade))
	}
	m.show("moved strokes", m.mix)
}

// handled is the noise of a hand at the phone while it is moved.
func (m *mixer) handled(rng *rand.Rand) []Span {
	fs := float64(m.plan.scene.Rate)
	at := int(m.plan.truth.Moved * fs)
	end := scrape(m.dry, fs, at, rng)
	knock(m.dry, fs, end, rng)
	return []Span{{float64(at) / fs, float64(end)/fs + 0.2}}
}
