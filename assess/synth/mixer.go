package synth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// mixer turns a plan into sound.
type mixer struct {
	plan      *plan
	room      *convolver // channel 0 is the leader's place, 1 and 2 are two sides of the group
	energy    float64    // of the room's answer to a unit impulse
	people    []*instrument
	leader    *instrument
	leads     float64 // amplitude of the leader's usual stroke
	note      float64 // energy at the phone of one clap of everybody, sum of squares at 16 kHz
	reference float64 // mean power of the strokes while a round is played
	mix       []float32
	dry, wet  []float32 // one background source
	shares    map[Sound][]float64
	look      tap
}

func newMixer(p *plan, look tap) *mixer {
	s := p.scene
	rng := stream(s.Seed, "room")
	m := &mixer{
		plan: p, energy: s.Room.reverberance(), look: look, shares: map[Sound][]float64{},
		room: newConvolver(
			s.Room.impulseResponse(s.Rate, rng),
			s.Room.impulseResponse(s.Rate, rng),
			s.Room.impulseResponse(s.Rate, rng)),
		leader: newInstrument(s.Rate, stream(s.Seed, "leader")),
		mix:    make([]float32, int(math.Round(p.truth.Duration*float64(s.Rate)))),
	}
	for i, who := range p.people {
		m.people = append(m.people, newInstrument(s.Rate, stream(s.Seed, fmt.Sprint("person ", i))))
		m.note += m.received(who)
	}
	near := direct(s.Leader.Distance)
	own := math.Pow(10, s.Leader.Sound.usualDB(m.leader)/10)
	m.leads = math.Sqrt(m.note * math.Pow(10, s.Leader.LevelDB/10) / ((near*near + m.energy) * own))
	return m
}

// usualDB is the level of a sound relative to a clap of the same person.
func (s Sound) usualDB(n *instrument) float64 { return n.hands.hit(s).level }

// received is the energy at the phone of a person's usual clap.
func (m *mixer) received(who person) float64 {
	d := direct(who.distance)
	return who.gain * who.gain * (d*d + m.energy) * meanEnergy(who.variation)
}

// weights is the share of the group's energy that each person's usual stroke brings, in the band where that sound is
// listened to.
func (m *mixer) weights(s Sound) []float64 {
	if m.shares[s] == nil {
		shares := make([]float64, len(m.people))
		sum := 0.0
		for i, who := range m.plan.people {
			shares[i] = m.received(who) * m.people[i].energy(s)
			sum += shares[i]
		}
		for i := range shares {
			shares[i] /= sum
		}
		m.shares[s] = shares
	}
	return m.shares[s]
}

// sounding is a stroke as samples at its place.
type sounding struct {
	start  int
	wave   []float64
	gain   float64 // amplitude into the room
	direct float64 // amplitude straight to the phone
}

// strokes mixes everything that the leader and the group play, and takes the reference level.
func (m *mixer) strokes() {
	p := m.plan
	pick := stream(p.scene.Seed, "strokes")
	channels := make([][]sounding, 3)
	longest := 0
	for _, s := range p.truth.Strokes {
		channel, who, gain, near := 0, m.leader, m.leads, direct(p.scene.Leader.Distance)
		if s.Person > 0 {
			person := p.people[s.Person-1]
			channel, who, gain, near = 1+s.Person%2, m.people[s.Person-1], person.gain, direct(person.distance)
		}
		waves := who.strokes(s.Sound)
		on := sounding{
			start: int(math.Round(s.Time * float64(p.scene.Rate))), wave: waves[pick.IntN(len(waves))],
			gain: gain * decibels(s.LevelDB),
		}
		on.direct = on.gain * near
		longest = max(longest, len(on.wave))
		channels[channel] = append(channels[channel], on)
	}
	for _, list := range channels {
		for _, on := range list {
			for i, v := range on.wave[:max(0, min(len(on.wave), len(m.mix)-on.start))] {
				m.mix[on.start+i] += float32(on.direct * v)
			}
		}
	}
	m.room.add(m.mix, func(k int, block []float64, start int) bool {
		list := channels[k]
		first, _ := slices.BinarySearchFunc(list, start-longest, func(on sounding, at int) int { return on.start - at })
		any := false
		for _, on := range list[first:] {
			if on.start >= start+len(block) {
				break
			}
			any = true
			for i := max(0, start-on.start); i < len(on.wave) && on.start+i < start+len(block); i++ {
				block[on.start+i-start] += on.gain * on.wave[i]
			}
		}
		return any
	})
	if m.look != nil {
		m.look("strokes", m.mix)
	}
	m.reference = m.referencePower()
}

// referencePower is the mean power while rounds are played. Without rounds it is that of two notes a second clapped by
// everybody.
func (m *mixer) referencePower() float64 {
	sum, n := 0.0, 0
	for _, span := range m.plan.roundSpans() {
		part := m.samples(m.mix, span)
		sum += power(part) * float64(len(part))
		n += len(part)
	}
	if n == 0 || sum == 0 {
		return 2 * m.note / 16000
	}
	return sum / float64(n)
}

// roundSpans returns, for every round, the time from the first stroke of its call (or of its answer, where the call did
// not sound again) to 0.3 s after its last stroke.
func (p *plan) roundSpans() []Span {
	spans := make([]Span, len(p.truth.Rounds))
	for i := range spans {
		spans[i].Start = math.Inf(1)
	}
	for _, s := range p.truth.Strokes {
		if s.Round >= 0 {
			spans[s.Round].Start = math.Min(spans[s.Round].Start, s.Time)
			spans[s.Round].End = math.Max(spans[s.Round].End, s.Time+0.3)
		}
	}
	return slices.DeleteFunc(spans, func(s Span) bool { return math.IsInf(s.Start, 1) })
}

// samples cuts a span out of x.
func (m *mixer) samples(x []float32, s Span) []float32 {
	fs := float64(m.plan.scene.Rate)
	from := min(max(int(s.Start*fs), 0), len(x))
	to := min(max(int(s.End*fs), from), len(x))
	return x[from:to]
}

// background adds everything that is neither leader's nor group's stroke.
func (m *mixer) background() {
	s := m.plan.scene
	b := s.Background
	fs := float64(s.Rate)
	m.dry = make([]float32, len(m.mix))
	m.wet = make([]float32, len(m.mix))
	whole := []Span{{0, m.plan.truth.Duration}}

	m.source("noise", b.NoiseDB, 0, func(rng *rand.Rand) []Span {
		noiseFloor(m.dry, fs, rng)
		return whole
	})
	if b.Voices > 0 {
		m.source("talk", b.TalkDB, 3, func(rng *rand.Rand) []Span {
			for range b.Voices {
				newVoice(s.Rate, rng).speak(m.dry, int(rng.Float64()*fs), len(m.dry))
			}
			return whole
		})
	}
	if spans := append(slices.Clone(m.plan.truth.Talk), m.plan.truth.CountIns...); len(spans) > 0 {
		m.source("leader's voice", s.Flow.LeaderDB, s.Leader.Distance, m.leaderSpeaks)
	}
	if b.Music {
		m.source("music", b.MusicDB, 0, func(rng *rand.Rand) []Span {
			music(m.dry, fs, rng)
			return whole
		})
	}
	if b.Laughs > 0 {
		m.source("laughter", b.LaughDB, 3, func(rng *rand.Rand) []Span { return m.laughter(b.Laughs, rng) })
	}
	if b.Bumps > 0 {
		m.source("bumps", b.BumpDB, 3, func(rng *rand.Rand) []Span {
			var spans []Span
			for range b.Bumps {
				from, to := bump(m.dry, fs, rng.IntN(len(m.dry)), rng)
				spans = append(spans, Span{float64(from) / fs, float64(to) / fs})
			}
			return spans
		})
	}
}

// source adds one background source. fill writes it dry and returns where it sounds; its mean power there is brought to
// the level. A distance in metres puts it into the room, 0 leaves it as it is.
func (m *mixer) source(name string, db, distance float64, fill func(rng *rand.Rand) []Span) {
	clear(m.dry)
	spans := fill(stream(m.plan.scene.Seed, name))
	out := m.dry
	if distance > 0 {
		near := float32(direct(distance))
		for i, v := range m.dry {
			m.wet[i] = near * v
		}
		m.room.add(m.wet, func(k int, block []float64, start int) bool {
			return k == 1 && copyBlock(block, m.dry[start:])
		})
		out = m.wet
	}
	sum, n := 0.0, 0
	for _, span := range spans {
		part := m.samples(out, span)
		sum += power(part) * float64(len(part))
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
	if m.look != nil {
		m.look(name, out)
	}
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
func (m *mixer) leaderSpeaks(rng *rand.Rand) []Span {
	fs := float64(m.plan.scene.Rate)
	v := newVoice(m.plan.scene.Rate, rng)
	spans := slices.Clone(m.plan.truth.Talk)
	for _, s := range spans {
		v.speak(m.dry, int(s.Start*fs), int(s.End*fs))
	}
	for _, at := range m.plan.spoken {
		from := int(at * fs)
		v.syllable(m.dry, from, len(m.dry), 0.24, 1)
		spans = append(spans, Span{at, at + 0.3})
	}
	return spans
}

// laughter writes bursts of one to four people.
func (m *mixer) laughter(bursts int, rng *rand.Rand) []Span {
	fs := float64(m.plan.scene.Rate)
	var spans []Span
	for range bursts {
		at := rng.Float64() * m.plan.truth.Duration
		for range 1 + rng.IntN(4) {
			newVoice(m.plan.scene.Rate, rng).laugh(m.dry, int((at+0.3*rng.Float64())*fs))
		}
		spans = append(spans, Span{at, at + 1.5})
	}
	return spans
}
