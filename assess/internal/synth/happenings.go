package synth

import (
	"math"
	"math/rand/v2"
	"slices"

	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// wall is what of a sound comes through one, Hz.
const wall = 700

// throughTheWall writes another group's warm-up as heard next door, over and over.
func (m *mixer) throughTheWall(next NextDoor) []signal.Span {
	s := Scene{
		Seed: next.Seed, Rate: m.plan.scene.Rate, Calls: slices.Clone(m.plan.scene.Calls),
		Leader: Leader{Sound: sounds.Drum},
		Group:  people.Group{People: 15, Level: 5}, Background: Background{NoiseDB: -60},
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
	filters := []*signal.Biquad{signal.LowPass(wall, 0.7, fs), signal.LowPass(wall, 0.7, fs)}
	for i := range m.dry {
		y := float64(other.mix[i%len(other.mix)])
		for _, f := range filters {
			y = f.Next(y)
		}
		m.dry[i] = float32(y)
	}
	return []signal.Span{{Start: 0, End: m.plan.truth.Duration}}
}

// moved lowers the strokes from the moment on at which the phone was moved.
func (m *mixer) moved() {
	if m.plan.truth.Moved == 0 {
		return
	}
	fs := float64(m.plan.scene.Rate)
	from, fade := int(m.plan.truth.Moved*fs), 0.3*fs
	less := signal.FromDB(-m.plan.scene.Phone.MovedDB)
	for i := from; i < len(m.mix); i++ {
		m.mix[i] *= float32(1 + (less-1)*math.Min(1, float64(i-from)/fade))
	}
	m.show("moved strokes", m.mix)
}

// handled is the noise of a hand at the phone while it is moved.
func (m *mixer) handled(rng *rand.Rand) []signal.Span {
	fs := float64(m.plan.scene.Rate)
	at := int(m.plan.truth.Moved * fs)
	end := sounds.Scrape(m.dry, fs, at, rng)
	sounds.Knock(m.dry, fs, end, rng)
	return []signal.Span{{Start: float64(at) / fs, End: float64(end)/fs + 0.2}}
}
