package audio

import (
	"math"

	"clapladder.example/assess/audio/internal/codec"
)

// health watches the frames as they are in the file: level, clipping and gaps.
type health struct {
	channels int
	window   int // frames of 50 ms
	short    int // frames of 20 ms
	coarse   bool
	peak     float32 // of the whole recording so far
	levels   [100]int
	clipped  int // windows with clipping
	gaps     gapWatch
	peaks    peakWatch
	held     window // the 20 ms that are not complete yet
	heldFor  int    // frames of them
}

func newHealth(s *codec.Sound) *health {
	edge := max(0.003, 3*s.Step)
	return &health{
		channels: s.Channels, window: s.SampleRate / 20, short: max(1, s.SampleRate/50), coarse: s.Coarse,
		gaps: gapWatch{
			channels: s.Channels, least: max(4, s.SampleRate*3/1000), most: 2 * s.SampleRate,
			edge: max(4, s.SampleRate*5/1000), loud: edge * edge,
		},
	}
}

// observe takes the next block. Peaks are those of windows of 50 ms, which begin anew with each
// block, and of 20 ms, which do not.
func (h *health) observe(block []float32) {
	for rest := block; len(rest) > 0; {
		whole := rest[:min(len(rest), h.window*h.channels)]
		rest = rest[len(whole):]
		peak := float32(0)
		for w := whole; len(w) > 0; {
			part := w[:min(len(w), (h.short-h.heldFor)*h.channels)]
			w = w[len(part):]
			highest, energy := loudness(part)
			peak = max(peak, highest)
			h.hold(highest, energy, len(part)/h.channels)
		}
		h.level(whole, peak)
	}
	h.gaps.observe(block)
}

// hold adds frames to the 20 ms that are not complete yet.
func (h *health) hold(highest float32, energy float64, frames int) {
	h.held.peak = max(h.held.peak, highest)
	h.held.energy += energy
	if h.heldFor += frames; h.heldFor == h.short {
		h.peaks.observe(h.held)
		h.held, h.heldFor = window{}, 0
	}
}

// level takes note of the peak of one window and looks for flat tops.
func (h *health) level(w []float32, peak float32) {
	h.peak = max(h.peak, peak)
	if peak > 0 {
		down := int(math.Round(-decibels(min(peak, 1))))
		h.levels[min(down, len(h.levels)-1)]++
	}
	if peak < 0.25 || peak < 0.9*h.peak {
		return
	}
	for c := range h.channels {
		if h.flat(w[c:]) {
			h.clipped++
			return
		}
	}
}

// decibels of an amplitude, relative to full scale.
func decibels(size float32) float64 { return 20 * math.Log10(float64(size)) }

// loudness is the largest size of a sample and the sum of the squares; see [energy]. Without the
// sign, floats are in the order of their bits.
func loudness(samples []float32) (highest float32, energy float64) {
	const size = 1<<31 - 1
	var top, other uint32
	var a, b, c, d float64
	for len(samples) >= 4 {
		x := samples[:4]
		top = max(top, math.Float32bits(x[0])&size, math.Float32bits(x[1])&size)
		other = max(other, math.Float32bits(x[2])&size, math.Float32bits(x[3])&size)
		a, b = a+float64(x[0])*float64(x[0]), b+float64(x[1])*float64(x[1])
		c, d = c+float64(x[2])*float64(x[2]), d+float64(x[3])*float64(x[3])
		samples = samples[4:]
	}
	for _, x := range samples {
		top = max(top, math.Float32bits(x)&size)
		a += float64(x) * float64(x)
	}
	return math.Float32frombits(max(top, other)), (a + b) + (c + d)
}

// flat looks for a flat top in one channel: two samples in a row at full scale,
// or three equal ones near the highest level, which is what a microphone
// amplifier leaves that was driven too hard. With 8 bits equal neighbours are
// common, so that three at full scale are asked for.
func (h *health) flat(w []float32) bool {
	const full = 0.999
	run, equal := 0, 1
	var before float32
	for i := 0; i < len(w); i += h.channels {
		x := w[i]
		size := x
		if x < 0 {
			size = -x
		}
		switch {
		case size < full && !(h.coarse && size >= 0.98):
			run = 0
		case x*before > 0:
			run++
		default:
			run = 1
		}
		if x == before {
			equal++
		} else {
			equal = 1
		}
		if h.coarse && run >= 3 {
			return true
		}
		if !h.coarse && (run >= 2 || equal >= 3 && size >= 0.25 && size >= 0.9*h.peak) {
			return true
		}
		before = x
	}
	return false
}

// hasFlatTops reports whether flat tops are in a tenth of the loud moments.
func (h *health) hasFlatTops() bool { return h.clipped >= 3 && 10*h.clipped >= h.loudWindows() }

// loudWindows counts the windows within 6 dB of the loudest.
func (h *health) loudWindows() int {
	n := 0
	for i, count := range h.levels {
		if count == 0 {
			continue
		}
		for _, count := range h.levels[i:min(i+7, len(h.levels))] {
			n += count
		}
		break
	}
	return n
}

// gapWatch finds runs of exact zeros with sound right before and right after: a
// recorder that was too busy to keep up.
type gapWatch struct {
	channels    int
	least, most int     // frames of a gap
	edge        int     // frames looked at on either side
	loud        float64 // mean square that both sides must reach

	count  int
	frames int64

	last    []float32 // the frames before this block, at most edge
	run     int
	before  float64
	waiting int // length of a gap whose right side is being measured
	after   float64
	seen    int
}

func (g *gapWatch) observe(block []float32) {
	frames := len(block) / g.channels
	if g.run > 0 || g.waiting > 0 || g.suspect(block, frames) {
		for i := range frames {
			g.frame(block, i)
		}
	}
	tail := block[max(0, len(block)-g.edge*g.channels):]
	g.last = append(g.last[:0], tail...)
}

// suspect looks for a run of zeros that is long enough or touches the end of the
// block. It probes the block so densely that no gap slips through.
func (g *gapWatch) suspect(block []float32, frames int) bool {
	silent := func(i int) bool { return silentFrame(block[i*g.channels : (i+1)*g.channels]) }
	if frames == 0 || silent(frames-1) {
		return frames > 0
	}
	for i := 0; i < frames; i += max(1, g.least/2) {
		if !silent(i) {
			continue
		}
		from, to := i, i
		for from > 0 && silent(from-1) {
			from--
		}
		for silent(to + 1) { // the last frame is not
			to++
		}
		if to-from+1 >= g.least {
			return true
		}
		i = max(i, to-g.least/2) // do not measure a run twice
	}
	return false
}

func silentFrame(f []float32) bool {
	for _, x := range f {
		if x != 0 {
			return false
		}
	}
	return true
}

func (g *gapWatch) frame(block []float32, i int) {
	f := block[i*g.channels : (i+1)*g.channels]
	if silentFrame(f) {
		if g.run == 0 {
			g.before = g.power(block[:i*g.channels])
			g.judge()
		}
		g.run++
		return
	}
	if g.run >= g.least && g.run <= g.most && g.before >= g.loud {
		g.waiting, g.after, g.seen = g.run, 0, 0
	}
	g.run = 0
	if g.waiting > 0 {
		for _, x := range f {
			g.after += float64(x) * float64(x) / float64(g.channels)
		}
		if g.seen++; g.seen == g.edge {
			g.judge()
		}
	}
}

// judge decides on the gap that waits for its right side.
func (g *gapWatch) judge() {
	if g.waiting > 0 && g.seen >= g.edge/2 && g.after/float64(g.seen) >= g.loud {
		g.count++
		g.frames += int64(g.waiting)
	}
	g.waiting = 0
}

// power is the mean square of the last frames before a place in the block.
func (g *gapWatch) power(before []float32) float64 {
	sum, n := 0.0, 0
	want := g.edge * g.channels
	for _, part := range [2][]float32{before, g.last} {
		part = part[max(0, len(part)-(want-n)):]
		for _, x := range part {
			sum += float64(x) * float64(x)
		}
		n += len(part)
	}
	if n < want/2 {
		return 0
	}
	return sum / float64(n)
}
