package synth

import (
	"fmt"
	"math"
	"math/rand/v2"

	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// Material is recorded sound to use in place of what is made up here, mono at the scene's rate. Empty
// fields leave that part made up. It is only read.
type Material struct {
	Hands [][][]float64 // strokes of different people's hands, each from its onset on; of any level
	Room  []float64     // a measured impulse response from the direct sound on, which is 3 ms long
	Talk  []float32     // for Background.Voices, over and over
	Noise []float32     // for Background.NoiseDB, over and over
}

// GenerateWith is [Generate] with recorded sound. People take hands from the material at random, each
// at a pitch of their own (SD 5 %), so that a few recorded hands make a group. look, which may be
// nil, sees every source by its name as it is added to the mix, before the phone; it must not keep
// the samples.
func GenerateWith(
	s Scene, from Material, look func(name string, samples []float32),
) (*Recording, error) {
	m, err := prepare(s, from, look)
	if err != nil {
		return nil, err
	}
	p, s := m.plan, m.plan.scene
	m.strokes()
	m.moved()
	m.background()
	s.Phone.Record(m.mix, s.Rate)
	return &Recording{Samples: m.mix, Rate: s.Rate, Truth: p.truth}, nil
}

// measured turns a measured response into what the mixer needs: the reverberation alone, scaled to a
// source at one metre. The measurement is taken to have been made from the middle of the group.
func measured(response []float64, rate int, g people.Group) (tail []float64, energy float64) {
	split := min(3*rate/1000, len(response))
	straight := 1e-30
	for _, v := range response[:split] {
		straight += v * v
	}
	scale := acoustics.Direct((g.Near+g.Far)/2) / math.Sqrt(straight)
	tail = make([]float64, len(response))
	for i := split; i < len(response); i++ {
		tail[i] = scale * response[i]
		energy += tail[i] * tail[i]
	}
	return tail, math.Max(energy, 1e-6)
}

// furnish puts recorded hands and a measured room into the mixer.
func (m *mixer) furnish(from Material) {
	s := m.plan.scene
	if len(from.Room) > 0 {
		tail, energy := measured(from.Room, s.Rate, s.Group)
		m.room, m.energy = acoustics.NewConvolver(tail, tail, tail), energy
	}
	if len(from.Hands) > 0 {
		for i, n := range append([]*sounds.Instrument{m.leader}, m.people...) {
			rng := signal.Stream(s.Seed, fmt.Sprint("hands ", i))
			n.TakeClaps(from.Hands[rng.IntN(len(from.Hands))], rng)
		}
	}
	m.from = from
}

// loop fills dst with x over and over, from anywhere in it on.
func loop(dst, x []float32, rng *rand.Rand) {
	at := rng.IntN(len(x))
	for i := range dst {
		dst[i] += x[(at+i)%len(x)]
	}
}
