package realsound

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

type maker struct {
	t     testing.TB
	rng   *rand.Rand
	files []string
	out   []float32
}

func (m *maker) pick() []float32 { return Decode(m.t, m.files[m.rng.IntN(len(m.files))]) }

// add mixes a sound in at a time in seconds.
func (m *maker) add(x []float32, at, db float64) {
	g := float32(math.Pow(10, db/20))
	start := int(at * Rate)
	for i, v := range x {
		if k := start + i; k >= 0 && k < len(m.out) {
			m.out[k] += g * v
		}
	}
}

func (m *maker) seconds() float64 { return float64(len(m.out)) / Rate }

func (m *maker) between(a, b float64) float64 { return a + (b-a)*m.rng.Float64() }

// short is a sound cut to its first part with a fade.
func short(x []float32, seconds float64) []float32 {
	start := 0
	for start < len(x) && x[start] < 0.05 && x[start] > -0.05 {
		start++
	}
	start = max(0, start-80)
	x = slices.Clone(x[start:min(len(x), start+int(seconds*Rate))])
	fade := len(x) / 4
	for i := range fade {
		x[len(x)-1-i] *= float32(i) / float32(fade)
	}
	return x
}

func (m *maker) string(w way) {
	end := m.seconds()
	switch w {
	case looped:
		x := m.pick()
		for at := 0.0; at < end; at += float64(len(x)) / Rate {
			m.add(x, at, 0)
		}
	case joined:
		for at := 0.0; at < end; {
			x := m.pick()
			m.add(x, at, m.between(-8, 0))
			at += float64(len(x))/Rate + m.rng.ExpFloat64()*0.3
		}
	case walked:
		sounds := m.kit(4, 0.4)
		for at := 0.5; at < end; {
			pace := m.between(0.42, 0.65)
			for range 10 + m.rng.IntN(40) {
				m.add(sounds[m.rng.IntN(len(sounds))], at, 2*m.rng.NormFloat64())
				at += pace * (1 + 0.04*m.rng.NormFloat64())
			}
			at += m.rng.ExpFloat64() * 2
		}
	case knocked:
		for at := 0.5; at < end; {
			x := short(m.pick(), 0.5)
			gap := m.between(0.14, 0.6)
			for range 2 + m.rng.IntN(6) {
				m.add(x, at, 1.5*m.rng.NormFloat64())
				at += gap * (1 + 0.06*m.rng.NormFloat64())
			}
			at += 0.6 + m.rng.ExpFloat64()*2
		}
	case rhythmic:
		sounds := m.kit(2, 0.4)
		for at := 0.5; at < end; {
			at = m.phrase(sounds, at, m.madeUp(), m.between(0.16, 0.3)) + m.between(0.3, 2.5)
		}
	case drummed:
		m.groove()
	case typed:
		m.typing()
	case inTurn:
		m.takeTurns()
	case beeped:
		x := short(m.pick(), 0.3)
		gap, group, pause := m.between(0.12, 0.6), 1+m.rng.IntN(5), m.between(0.4, 1.5)
		for at := 0.5; at < end; at += pause {
			for range group {
				m.add(x, at, 0.3*m.rng.NormFloat64())
				at += gap
			}
		}
	}
}

// kit is a few sounds of the class.
func (m *maker) kit(n int, seconds float64) [][]float32 {
	var out [][]float32
	for range n {
		out = append(out, short(m.pick(), seconds))
	}
	return out
}

// madeUp is a rhythm of one or two bars in eighths or sixteenths.
func (m *maker) madeUp() []bool {
	n := []int{8, 8, 16, 12}[m.rng.IntN(4)]
	boxes := make([]bool, n)
	for i := range boxes {
		chance := []float64{0.85, 0.25, 0.55, 0.25}[i%4]
		boxes[i] = m.rng.Float64() < chance
	}
	boxes[0] = true
	return boxes
}

func (m *maker) phrase(sounds [][]float32, at float64, boxes []bool, step float64) float64 {
	for i, b := range boxes {
		if b {
			x := sounds[0]
			if i%4 != 0 && len(sounds) > 1 && m.rng.IntN(4) == 0 {
				x = sounds[1]
			}
			m.add(x, at+0.008*m.rng.NormFloat64(), 1.5*m.rng.NormFloat64())
		}
		at += step
	}
	return at
}

// groove plays patterns of a bar for minutes, changing now and then.
func (m *maker) groove() {
	sounds := m.kit(4, 0.5)
	step := m.between(0.11, 0.2)
	var patterns [][]bool
	for bar, at := 0, 0.3; at < m.seconds(); bar++ {
		if bar%8 == 0 {
			patterns = nil
			for range sounds {
				patterns = append(patterns, m.madeUp())
			}
		}
		for k, x := range sounds {
			for i, b := range patterns[k] {
				if b && i < 16 {
					m.add(x, at+float64(i)*step+0.006*m.rng.NormFloat64(), m.rng.NormFloat64()-3*float64(k))
				}
			}
		}
		at += 16 * step
	}
}

// takeTurns has two people strike a few times each, mostly evenly, with pauses of any length: now and
// then as often as the other, but nobody listens to anybody.
func (m *maker) takeTurns() {
	rings, share := m.between(0.15, 0.7), m.between(0.05, 0.5)
	one, other := m.inRoom(short(m.pick(), 0.4), rings, share), m.inRoom(short(m.pick(), 0.4), rings, share)
	softer := m.between(0, 10)
	for at := 0.5; at < m.seconds(); {
		pace := m.between(0.35, 0.8)
		for who, strikes := 0, 1+m.rng.IntN(2); who < strikes; who++ {
			x, db := one, 0.0
			if who == 1 {
				x, db = other, -softer
			}
			for range 1 + m.rng.IntN(8) {
				m.add(x, at, db+m.between(-4, 0))
				at += pace * (1 + 0.05*m.rng.NormFloat64())
			}
			at += m.between(0, 0.8)
		}
		at += m.rng.ExpFloat64() * 1.5
	}
}

// inRoom adds a tail that falls by 60 dB in about seven times rings, in seconds, with a share of the
// sound's energy, and makes the highest peak 1.
func (m *maker) inRoom(x []float32, rings, share float64) []float32 {
	tail := make([]float64, int(3*rings*Rate))
	norm := 0.0
	for i := range tail {
		tail[i] = m.rng.NormFloat64() * math.Exp(-float64(i)/(rings*Rate))
		norm += tail[i] * tail[i]
	}
	gain := math.Sqrt(share / max(1e-9, norm))
	loud := slices.IndexFunc(x, func(v float32) bool { return v > 0.05 || v < -0.05 })
	out := make([]float32, len(x)+len(tail))
	top := float32(1e-9)
	for i, v := range x {
		out[i] += v
		if i < loud || i > loud+Rate/50 { // what rings is the stroke itself
			continue
		}
		for k, r := range tail {
			out[i+k] += v * float32(gain*r)
		}
	}
	for _, v := range out {
		top = max(top, v, -v)
	}
	for i := range out {
		out[i] /= top
	}
	return out
}

// typing cuts strokes out of recordings of typing and types words with them.
func (m *maker) typing() {
	var strokes [][]float32
	for len(strokes) < 60 {
		x := m.pick()
		top := 0
		from := m.rng.IntN(max(1, len(x)-Rate/2))
		for i := from; i < min(len(x), from+Rate/2); i++ {
			if math.Abs(float64(x[i])) > math.Abs(float64(x[top])) || top == 0 {
				top = i
			}
		}
		strokes = append(strokes, short(x[max(0, top-400):min(len(x), top+2000)], 0.15))
	}
	for at := 0.5; at < m.seconds(); {
		for range 2 + m.rng.IntN(8) {
			m.add(strokes[m.rng.IntN(len(strokes))], at, 2*m.rng.NormFloat64())
			at += max(0.06, 0.17*math.Exp(0.4*m.rng.NormFloat64()))
		}
		at += m.rng.ExpFloat64() * 0.4
		if m.rng.IntN(12) == 0 {
			at += m.rng.ExpFloat64() * 3
		}
	}
}

// finish adds the noise of a quiet room and sets the level.
func (m *maker) finish() {
	top := 1e-9
	for _, v := range m.out {
		top = max(top, math.Abs(float64(v)))
	}
	gain := m.between(0.2, 0.9) / top
	noise := math.Pow(10, m.between(-70, -50)/20)
	low := 0.0
	for i := range m.out {
		low += 0.2 * (m.rng.NormFloat64() - low)
		m.out[i] = float32(gain*float64(m.out[i]) + noise*low)
	}
}
