package synth

import (
	"math"
	"math/rand/v2"
	"slices"

	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// background adds everything that is neither leader's nor group's stroke.
func (m *mixer) background() {
	s := m.plan.scene
	b := s.Background
	fs := float64(s.Rate)
	m.dry = make([]float32, len(m.mix))
	m.wet = make([]float32, len(m.mix))
	whole := []signal.Span{{Start: 0, End: m.plan.truth.Duration}}

	m.source("noise", b.NoiseDB, 0, func(rng *rand.Rand) []signal.Span {
		if len(m.from.Noise) > 0 {
			loop(m.dry, m.from.Noise, rng)
		} else {
			sounds.NoiseFloor(m.dry, fs, rng)
		}
		return whole
	})
	if b.Voices > 0 && len(m.from.Talk) > 0 {
		m.source("talk", b.TalkDB, 0, func(rng *rand.Rand) []signal.Span {
			loop(m.dry, m.from.Talk, rng)
			return whole
		})
	} else if b.Voices > 0 {
		m.source("talk", b.TalkDB, 3, func(rng *rand.Rand) []signal.Span {
			for range b.Voices {
				sounds.NewVoice(s.Rate, rng).Speak(m.dry, int(rng.Float64()*fs), len(m.dry))
			}
			return whole
		})
	}
	if len(m.plan.truth.Talk)+len(m.plan.spoken) > 0 {
		m.source("leader's voice", s.Flow.LeaderDB, s.Leader.Distance, m.leaderSpeaks)
	}
	if b.Music {
		m.source("music", b.MusicDB, 0, func(rng *rand.Rand) []signal.Span {
			sounds.Music(m.dry, fs, rng)
			return whole
		})
	}
	if b.Laughs > 0 {
		m.source("laughter", b.LaughDB, 3,
			func(rng *rand.Rand) []signal.Span { return m.laughter(b.Laughs, rng) })
	}
	if b.Bumps > 0 {
		m.source("bumps", b.BumpDB, 3, func(rng *rand.Rand) []signal.Span {
			var spans []signal.Span
			for range b.Bumps {
				from, to := sounds.Bump(m.dry, fs, rng.IntN(len(m.dry)), rng)
				spans = append(spans, signal.Span{Start: float64(from) / fs, End: float64(to) / fs})
			}
			return spans
		})
	}
	m.beside()
}

// beside adds what only some sessions hold.
func (m *mixer) beside() {
	s := m.plan.scene
	b, fs := s.Background, float64(s.Rate)
	if s.Words.Leader {
		m.source("leader's words", m.calls+s.Words.LeaderDB, s.Leader.Distance, m.words(false))
	}
	if s.Words.Group {
		m.source("group's words", m.answers+s.Words.GroupDB, 3, m.words(true))
	}
	if spans := m.plan.goingOn(Talking); len(spans) > 0 {
		m.source("talk around", -12, 3, func(rng *rand.Rand) []signal.Span {
			for _, span := range spans {
				for range 4 {
					sounds.NewVoice(s.Rate, rng).Speak(m.dry, int(span.Start*fs), int(span.End*fs))
				}
			}
			return spans
		})
	}
	if spans := m.plan.goingOn(Playing); len(spans) > 0 {
		m.source("music around", -4, 3, func(rng *rand.Rand) []signal.Span {
			for _, span := range spans {
				sounds.Music(m.samples(m.dry, span), fs, rng)
			}
			return spans
		})
	}
	if b.Rings > 0 {
		m.source("ringing", b.RingDB, 3, func(rng *rand.Rand) (spans []signal.Span) {
			for range b.Rings {
				spans = append(spans, sounds.Ring(m.dry, fs, rng)...)
			}
			return spans
		})
	}
	if b.Slams > 0 {
		m.source("doors", b.RingDB, 4, func(rng *rand.Rand) (spans []signal.Span) {
			for range b.Slams {
				spans = append(spans, sounds.Slam(m.dry, fs, rng))
			}
			return spans
		})
	}
	if s.NextDoor.Seed != 0 {
		m.source("next door", s.NextDoor.DB, 0,
			func(*rand.Rand) []signal.Span { return m.throughTheWall(s.NextDoor) })
	}
	if m.plan.truth.Moved > 0 {
		m.source("hand", -3, 0, m.handled)
	}
}

// source adds one background source. fill writes it dry and returns where it sounds; its mean power
// there is brought to the level. A distance in metres puts it into the room, 0 leaves it as it is.
func (m *mixer) source(name string, db, distance float64, fill func(rng *rand.Rand) []signal.Span) {
	clear(m.dry)
	spans := fill(signal.Stream(m.plan.scene.Seed, name))
	out := m.dry
	if distance > 0 {
		near := float32(acoustics.Direct(distance))
		for i, v := range m.dry {
			m.wet[i] = near * v
		}
		m.room.Add(m.wet, func(k int, block []float64, start int) bool {
			return k == 1 && copyBlock(block, m.dry[start:])
		})
		out = m.wet
	}
	sum, n := 0.0, 0
	for _, span := range spans {
		part := m.samples(out, span)
		sum += signal.Power(part) * float64(len(part))
		n += len(part)
	}
	if sum == 0 {
		return
	}
	scale := float32(math.Sqrt(m.reference * math.Pow(10, db/10) / (sum / float64(n))))
	for i, v := range out {
		out[i] = scale * v
		m.mix[i] += out[i]
	}
	m.show(name, out)
}

// copyBlock fills a block and reports whether it holds any sound.
func copyBlock(block []float64, x []float32) bool {
	any := false
	for i, v := range x[:min(len(x), len(block))] {
		block[i] = float64(v)
		any = any || v != 0
	}
	return any
}

// leaderSpeaks writes the leader's talk and spoken counts.
func (m *mixer) leaderSpeaks(rng *rand.Rand) []signal.Span {
	fs := float64(m.plan.scene.Rate)
	v := sounds.NewVoice(m.plan.scene.Rate, rng)
	spans := slices.Clone(m.plan.truth.Talk)
	for _, s := range spans {
		v.Speak(m.dry, int(s.Start*fs), int(s.End*fs))
	}
	for _, at := range m.plan.spoken {
		from := int(at * fs)
		v.Syllable(m.dry, from, len(m.dry), 0.24, 1)
		spans = append(spans, signal.Span{Start: at, End: at + 0.3})
	}
	return spans
}

// laughter writes bursts of one to four people.
func (m *mixer) laughter(bursts int, rng *rand.Rand) []signal.Span {
	fs := float64(m.plan.scene.Rate)
	var spans []signal.Span
	for range bursts {
		at := rng.Float64() * m.plan.truth.Duration
		for range 1 + rng.IntN(4) {
			sounds.NewVoice(m.plan.scene.Rate, rng).Laugh(m.dry, int((at+0.3*rng.Float64())*fs))
		}
		spans = append(spans, signal.Span{Start: at, End: at + 1.5})
	}
	return spans
}
