package response

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"clapladder.example/assess/internal/onset"
)

// frameSeconds is the step at which power is explained: two frames of the envelope.
const (
	framesPerStep = 2
	frameSeconds  = framesPerStep * onset.FrameSeconds
)

// window is a stretch of energy: of the clap band, or with the low band, where stamps and pats
// sound.
type window struct {
	start  float64   // seconds
	energy []float64 // per frameSeconds, in units of the envelope's power times frames
	floor  float64   // background energy per frameSeconds
}

func newWindow(a *onset.Analysis, from, to float64, low bool) window {
	clap, thump := a.Envelope.Clap, a.Envelope.Low
	lo := min(max(int(from*onset.FrameRate), 0), len(clap))
	hi := min(max(int(to*onset.FrameRate), lo), len(clap))
	w := window{start: float64(lo) * onset.FrameSeconds, floor: framesPerStep * a.ClapFloor((from+to)/2)}
	if low {
		w.floor += framesPerStep * a.LowFloor((from+to)/2)
	}
	for i := lo; i+framesPerStep <= hi; i += framesPerStep {
		var sum float64
		for k := i; k < i+framesPerStep; k++ {
			sum += float64(clap[k])
			if low {
				sum += float64(thump[k])
			}
		}
		w.energy = append(w.energy, sum)
	}
	return w
}

// column is the expected energy over time of one burst of unit energy, from frame first.
type column struct {
	first  int
	values []float64
	total  float64 // sum of values; less than 1 where the window cuts the burst
}

// mixture explains a window by columns with non-negative amplitudes: the maximum of the Poisson
// likelihood, whose variance grows with the mean as the power of many claps does, by the
// expectation-maximisation rule of Richardson (1972) and Lucy (1974) (from memory). Buffers are
// reused; not safe for concurrent use.
type mixture struct {
	window
	columns    []column
	amplitudes []float64
	model      []float64
	ratio      []float64
	values     []float64 // arena for columns
}

func newMixture(w window) *mixture {
	return &mixture{window: w, model: make([]float64, len(w.energy)), ratio: make([]float64, len(w.energy))}
}

// reset forgets columns but keeps the window.
func (m *mixture) reset() {
	m.columns, m.amplitudes, m.values = m.columns[:0], m.amplitudes[:0], m.values[:0]
}

// add puts in a burst centred at time t, with a first guess of its amplitude.
func (m *mixture) add(shape *onset.Shape, t, guess float64) {
	from, to := shape.Reach()
	// a burst may lie outside the window
	first := min(max(0, int((t+from-m.start)/frameSeconds)), len(m.energy))
	last := min(len(m.energy)-1, int((t+to-m.start)/frameSeconds))
	c := column{first: first}
	begin := len(m.values)
	for i := first; i <= last; i++ {
		v := shape.At(m.start+(float64(i)+0.5)*frameSeconds-t) * frameSeconds
		m.values = append(m.values, v)
		c.total += v
	}
	c.values = m.values[begin:len(m.values):len(m.values)]
	m.columns = append(m.columns, c)
	m.amplitudes = append(m.amplitudes, guess)
}

// fit runs the given number of rounds and returns the log likelihood per unit of mean energy,
// without constants.
func (m *mixture) fit(rounds int) float64 {
	for range rounds {
		m.predict()
		floats.DivTo(m.ratio, m.energy, m.model)
		for k := range m.columns {
			c := &m.columns[k]
			if c.total < 1e-6 {
				m.amplitudes[k] = 0
				continue
			}
			s := floats.Dot(c.values, m.ratio[c.first:c.first+len(c.values)])
			m.amplitudes[k] *= s / c.total
		}
	}
	m.predict()
	var likelihood, total float64
	for i, e := range m.energy {
		likelihood += e*math.Log(m.model[i]) - m.model[i]
		total += e
	}
	if total == 0 {
		return 0
	}
	return likelihood / total * float64(len(m.energy))
}

func (m *mixture) predict() {
	model, floor := m.model, m.floor+1e-15
	for i := range model {
		model[i] = floor
	}
	for k := range m.columns {
		c, a := &m.columns[k], m.amplitudes[k]
		if a == 0 {
			continue
		}
		floats.AddScaled(model[c.first:c.first+len(c.values)], a, c.values)
	}
}

// late is by how much the energy given to column k lies after where the column expects it, in
// seconds: the distance of their centres. It is 0 for a column without energy.
func (m *mixture) late(k int) float64 {
	c := m.columns[k]
	var got, gotTime, expected, expectedTime float64
	for i, v := range c.values {
		at := float64(i) * frameSeconds
		g := m.amplitudes[k] * v * m.energy[c.first+i] / m.model[c.first+i]
		got, gotTime = got+g, gotTime+g*at
		expected, expectedTime = expected+v, expectedTime+v*at
	}
	if got <= 0 || expected <= 0 {
		return 0
	}
	return gotTime/got - expectedTime/expected
}
