package audio

import (
	"math"
	"slices"
)

// Thresholds of the mixer. Powers are compared in the 2 s ahead, correlation
// over everything heard so far. Pairs of numbers keep a channel from going in
// and out at the border.
const (
	deadBelow  = 1e-4 // of the loudest channel's power: -40 dB
	aliveAbove = 1e-3
	lookAhead  = 4 // half seconds
)

// mixer turns interleaved channels into one. It works in blocks of half a second
// and decides on each with the next two seconds in view: a plain average, unless
// a channel is dead (left out), of inverted polarity (turned round), or clearly
// but not fully opposed to the loudest one (left out).
type mixer struct {
	channels int
	size     int // samples in a block, all channels
	queue    [][]float32
	stats    []covariance // of the blocks in queue
	free     [][]float32
	offset   []float64 // of each channel
	measured bool

	total     covariance
	reference int
	dead      []bool
	sign      []int // relative to reference: 1, -1, 0 left out
	weights   []float32
	fade      int // frames over which new weights come in

	everDead, everTurned bool
	removed              float64 // largest offset taken out
}

func newMixer(rate, channels int) *mixer {
	m := &mixer{
		channels: channels, size: (rate + 1) / 2 * channels, fade: rate / 50,
		offset: make([]float64, channels), dead: make([]bool, channels), sign: make([]int, channels),
		total: newCovariance(channels),
	}
	for c := range m.sign {
		m.sign[c] = 1
	}
	return m
}

// block returns an empty block to be filled and pushed.
func (m *mixer) block() []float32 {
	if n := len(m.free); n > 0 {
		b := m.free[n-1]
		m.free = m.free[:n-1]
		return b
	}
	return make([]float32, m.size)
}

// push takes a block from m.block, perhaps cut short, and appends to dst what can
// be mixed by now.
func (m *mixer) push(dst, block []float32) []float32 {
	if len(block) == 0 {
		return dst
	}
	m.queue = append(m.queue, block)
	var cov covariance
	if m.channels > 1 {
		cov = newCovariance(m.channels)
		cov.measure(block)
		m.total.add(cov)
	}
	m.stats = append(m.stats, cov)
	for len(m.queue) > m.ahead() {
		dst = m.emit(dst)
	}
	return dst
}

// ahead is how many blocks wait to be mixed: one channel needs no look ahead once its offset is
// known, and who listens live does not wait.
func (m *mixer) ahead() int {
	if m.channels == 1 && m.measured {
		return 0
	}
	return lookAhead
}

// finish appends all that is left.
func (m *mixer) finish(dst []float32) []float32 {
	for len(m.queue) > 0 {
		dst = m.emit(dst)
	}
	return dst
}

// emit mixes the oldest block.
func (m *mixer) emit(dst []float32) []float32 {
	if !m.measured {
		m.measured = true
		for c := range m.offset {
			m.offset[c] = steadyOffset(m.queue, c, m.channels)
			m.removed = max(m.removed, math.Abs(m.offset[c]))
		}
	}
	block := m.queue[0]
	old := m.weights
	m.weights = m.decide()
	dst = m.mix(dst, block, old)
	m.free = append(m.free, block[:m.size])
	m.queue = slices.Delete(m.queue, 0, 1)
	m.stats = slices.Delete(m.stats, 0, 1)
	return dst
}

// decide gives the weight of each channel for the oldest block.
func (m *mixer) decide() []float32 {
	if m.channels == 1 {
		return []float32{1}
	}
	near := newCovariance(m.channels)
	for _, s := range m.stats {
		near.add(s)
	}
	loudest := m.reference
	for c := range m.channels {
		if near.at(c, c) > near.at(loudest, loudest) {
			loudest = c
		}
	}
	if near.at(loudest, loudest) > 4*near.at(m.reference, m.reference) {
		m.reference = loudest
	}
	power := near.at(m.reference, m.reference)
	for c := range m.channels {
		switch own := near.at(c, c); {
		case c == m.reference || own > aliveAbove*power || power == 0:
			m.dead[c] = false
		case own < deadBelow*power:
			m.dead[c] = true
		}
		m.sign[c] = m.polarity(c)
	}
	used := 0
	for c := range m.channels {
		if !m.dead[c] && m.sign[c] != 0 {
			used++
		}
		m.everDead = m.everDead || m.dead[c]
		m.everTurned = m.everTurned || !m.dead[c] && m.sign[c] < 0
	}
	weights := make([]float32, m.channels)
	for c := range weights {
		if !m.dead[c] {
			weights[c] = float32(m.sign[c]) / float32(used)
		}
	}
	return weights
}

// polarity is the sign of channel c against the reference.
func (m *mixer) polarity(c int) int {
	if c == m.reference {
		return 1
	}
	r := m.total.correlation(c, m.reference)
	switch m.sign[c] {
	case 1:
		if r < -0.8 {
			return -1
		}
		if r < -0.5 {
			return 0
		}
	case 0:
		if r < -0.85 {
			return -1
		}
		if r > -0.35 {
			return 1
		}
	case -1:
		if r > -0.35 {
			return 1
		}
		if r > -0.7 {
			return 0
		}
	}
	return m.sign[c]
}

// mix appends the mono version of block. When the weights change, the old ones
// fade into the new ones.
func (m *mixer) mix(dst, block, old []float32) []float32 {
	weights := m.weights
	start := len(dst)
	frames := len(block) / m.channels
	dst = slices.Grow(dst, frames)[:start+frames]
	out := dst[start:]
	switch {
	case m.channels == 1:
		copy(out, block)
	case m.channels == 2:
		left, right := weights[0], weights[1]
		for i := range out {
			out[i] = left*block[2*i] + right*block[2*i+1]
		}
	default:
		for i := range out {
			var sum float32
			for c, x := range block[i*m.channels : (i+1)*m.channels] {
				sum += weights[c] * x
			}
			out[i] = sum
		}
	}
	if old != nil && !slices.Equal(old, weights) {
		fade := min(m.fade, frames)
		for i := range fade {
			part := float32(i) / float32(fade)
			var sum float32
			for c, x := range block[i*m.channels : (i+1)*m.channels] {
				sum += (old[c] + (weights[c]-old[c])*part) * (x - float32(m.offset[c]))
			}
			out[i] = sum + m.mixedOffset()
		}
	}
	if offset := m.mixedOffset(); offset != 0 {
		for i := range out {
			out[i] -= offset
		}
	}
	return dst
}

// mixedOffset is the offset that is left after mixing.
func (m *mixer) mixedOffset() float32 {
	sum := 0.0
	for c, w := range m.weights {
		sum += float64(w) * m.offset[c]
	}
	return float32(sum)
}
