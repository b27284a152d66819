package synth

import (
	"fmt"
	"math"
	"slices"

	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// mixer turns a plan into sound.
type mixer struct {
	plan      *plan
	room      *acoustics.Convolver // channel 0 is the leader's place, 1 and 2 are two sides of the group
	energy    float64              // of the room's answer to a unit impulse
	people    []*sounds.Instrument
	leader    *sounds.Instrument
	leads     float64 // amplitude of the leader's usual stroke
	note      float64 // energy at the phone of one clap of everybody, sum of squares at 16 kHz
	reference float64 // mean power of the strokes while a round is played
	calls     float64 // dB above it of the strokes of the calls, and of the answers
	answers   float64
	mix       []float32
	dry, wet  []float32 // one background source
	shares    map[sounds.Kind][]float64
	from      Material
	look      func(name string, samples []float32)
}

func newMixer(p *plan, from Material, look func(string, []float32)) *mixer {
	s := p.scene
	m := &mixer{
		plan: p, energy: s.Room.Reverberance(), look: look, shares: map[sounds.Kind][]float64{},
		leader: sounds.NewInstrument(s.Rate, signal.Stream(s.Seed, "leader")),
		mix:    make([]float32, int(math.Round(p.truth.Duration*float64(s.Rate)))),
	}
	for i := range p.people {
		own := signal.Stream(s.Seed, fmt.Sprint("person ", i))
		m.people = append(m.people, sounds.NewInstrument(s.Rate, own))
	}
	m.furnish(from)
	for _, who := range p.people {
		m.note += m.received(who)
	}
	near := acoustics.Direct(s.Leader.Distance)
	own := math.Pow(10, m.leader.UsualDB(s.Leader.Sound)/10)
	m.leads = math.Sqrt(m.note * math.Pow(10, s.Leader.LevelDB/10) / ((near*near + m.energy) * own))
	return m
}

// ring makes the room's answers to the three places.
func (m *mixer) ring() {
	s, rng := m.plan.scene, signal.Stream(m.plan.scene.Seed, "room")
	var places [3][]float64
	for i := range places {
		places[i] = s.Room.ImpulseResponse(s.Rate, rng)
	}
	m.room = acoustics.NewConvolver(places[:]...)
}

// received is the energy at the phone of a person's usual clap.
func (m *mixer) received(who people.Person) float64 {
	d := acoustics.Direct(who.Distance)
	return who.Gain * who.Gain * (d*d + m.energy) * meanEnergy(who.Variation)
}

// weights is the share of the group's energy that each person's usual stroke brings, in the band
// where that sound is listened to.
func (m *mixer) weights(s sounds.Kind) []float64 {
	if m.shares[s] == nil {
		shares := make([]float64, len(m.people))
		sum := 0.0
		for i, who := range m.plan.people {
			shares[i] = m.received(who) * m.people[i].Energy(s)
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

// strokes mixes everything that the leader and the group play, and takes the reference level. What
// is kept up under the warm-up does not count for that level.
func (m *mixer) strokes() {
	if m.room == nil {
		m.ring()
	}
	m.play("strokes", func(s Stroke) bool { return s.Role != Keeping })
	m.reference = m.referencePower()
	if m.plan.scene.Words.Leader {
		m.calls = m.strokePower(m.plan.said(false))
	}
	if m.plan.scene.Words.Group {
		m.answers = m.strokePower(m.plan.said(true))
	}
	if m.plan.scene.Pulse.DB != 0 {
		m.play("pulse", func(s Stroke) bool { return s.Role == Keeping })
	}
}

// play adds the strokes that are asked for to the mix.
func (m *mixer) play(name string, asked func(Stroke) bool) {
	p := m.plan
	pick := signal.Stream(p.scene.Seed, name)
	channels := make([][]sounding, 3)
	longest := 0
	for _, s := range p.truth.Strokes {
		if !asked(s) {
			continue
		}
		channel, who, gain, near := 0, m.leader, m.leads, acoustics.Direct(p.scene.Leader.Distance)
		switch {
		case s.Person > 0:
			person := p.people[s.Person-1]
			channel, who, gain, near = 1+s.Person%2, m.people[s.Person-1], person.Gain,
				acoustics.Direct(person.Distance)
		case s.Role == Keeping: // as loud as asked, whatever makes it
			gain *= signal.FromDB(m.leader.UsualDB(p.scene.Leader.Sound) - m.leader.UsualDB(s.Sound))
		}
		waves := who.Strokes(s.Sound)
		on := sounding{
			start: int(math.Round(s.Time * float64(p.scene.Rate))), wave: waves[pick.IntN(len(waves))],
			gain: gain * signal.FromDB(s.LevelDB),
		}
		on.direct = on.gain * near
		longest = max(longest, len(on.wave))
		channels[channel] = append(channels[channel], on)
	}
	dry := m.mix
	if name != "strokes" {
		dry = make([]float32, len(m.mix))
	}
	for _, list := range channels {
		for _, on := range list {
			for i, v := range on.wave[:max(0, min(len(on.wave), len(dry)-on.start))] {
				dry[on.start+i] += float32(on.direct * v)
			}
		}
	}
	m.show("dry "+name, dry)
	if name != "strokes" {
		for i, v := range dry {
			m.mix[i] += v
		}
	}
	m.room.Add(m.mix, func(k int, block []float64, start int) bool {
		list := channels[k]
		first, _ := slices.BinarySearchFunc(list, start-longest,
			func(on sounding, at int) int { return on.start - at })
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
	m.show(name, m.mix)
}

func (m *mixer) show(name string, x []float32) {
	if m.look != nil {
		m.look(name, x)
	}
}

// referencePower is the mean power while rounds are played. Without rounds it is that of two notes
// a second clapped by everybody.
func (m *mixer) referencePower() float64 {
	sum, n := 0.0, 0
	for _, span := range m.plan.roundSpans() {
		part := m.samples(m.mix, span)
		sum += signal.Power(part) * float64(len(part))
		n += len(part)
	}
	if n == 0 || sum == 0 {
		return 2 * m.note / 16000
	}
	return sum / float64(n)
}

// roundSpans returns, for every round, the time from the first stroke of its call (or of its
// answer, where the call did not sound again) to 0.3 s after its last stroke.
func (p *plan) roundSpans() []signal.Span {
	spans := make([]signal.Span, len(p.truth.Rounds))
	for i := range spans {
		spans[i].Start = math.Inf(1)
	}
	for _, s := range p.truth.Strokes {
		if s.Round >= 0 {
			spans[s.Round].Start = math.Min(spans[s.Round].Start, s.Time)
			spans[s.Round].End = math.Max(spans[s.Round].End, s.Time+0.3)
		}
	}
	return slices.DeleteFunc(spans, func(s signal.Span) bool { return math.IsInf(s.Start, 1) })
}

// samples cuts a span out of x.
func (m *mixer) samples(x []float32, s signal.Span) []float32 {
	fs := float64(m.plan.scene.Rate)
	from := min(max(int(s.Start*fs), 0), len(x))
	to := min(max(int(s.End*fs), from), len(x))
	return x[from:to]
}
