package layer3

import "math"

// powers are n to the power of 4/3: the largest value is 15 and 13 bits more.
var powers = func() (p [15 + 1<<13]float32) {
	for n := range p {
		p[n] = float32(math.Pow(float64(n), 4.0/3))
	}
	return p
}()

// gains are 2 to the power of a quarter of the index less mostLoss.
var gains = func() (g [mostLoss + 64]float32) {
	for i := range g {
		g[i] = float32(math.Exp2(float64(i-mostLoss) / 4))
	}
	return g
}()

// mostLoss is beyond all that gains, scale factors (31 at most, and 3 above) and short windows take
// away together: 210, 4*(31+3) and 8*7.
const mostLoss = 512

// raised is what the upper bands' scale factors are more than was sent, of long windows (ISO/IEC
// 11172-3, Table 3-B.6).
var raised = [22]int8{11: 1, 12: 1, 13: 1, 14: 1, 15: 2, 16: 2, 17: 3, 18: 3, 19: 3, 20: 2}

// readLines reads the scale factors and lines of one granule of one channel and makes the lines
// amplitudes. in comes to stand behind them.
func (d *Decoder) readLines(in *bits, f Frame, n, channel int, layouts *layouts) {
	g, lines := &d.granules[n][channel], &d.lines[channel]
	end := in.at + g.length
	layout := layouts.of(g)
	if f.Version == 1 {
		g.readScale(in, &d.granules[0][channel], layout)
	} else {
		g.readLowScale(in, f.Intensity && channel == 1)
	}
	g.readPairs(in, end, lines, layouts)
	g.readQuads(in, end, lines)
	in.at = end

	start := 0
	for band, until := range layout.end {
		if start >= g.used {
			break
		}
		gain := gains[mostLoss+g.gain-g.loss(band, layout.window[band])]
		for i := start; i < min(until, g.used); i++ {
			lines[i] *= gain
		}
		start = until
	}
}

// loss is how many quarters of a factor of 2 a band's lines are taken down (ISO/IEC 11172-3,
// 2.4.3.4.7).
func (g *granule) loss(band, window int) int {
	scale := int(g.scale[band])
	if g.high && window < 0 {
		scale += int(raised[band])
	}
	loss := 2 * (1 + bit(g.coarse)) * scale
	if window >= 0 {
		loss += 8 * g.shortage[window]
	}
	return loss
}

// regions are the lines at which the three regions of pairs end, each with a code of its own.
func (g *granule) regions(l *layouts) [3]int {
	first, second := 0, lines
	switch {
	case g.short():
		first = 3 * l.edges.short[mixedFrom-1]
	case g.region[0] < 0:
		first = l.edges.long[7]
	default:
		first = l.edges.long[g.region[0]]
		second = l.edges.long[min(g.region[0]+g.region[1]+1, len(l.edges.long)-1)]
	}
	most := 2 * g.pairs
	return [3]int{min(first, most), min(second, most), most}
}

// readPairs reads the lines that are coded in twos.
func (g *granule) readPairs(in *bits, end int, to *[lines]float32, l *layouts) {
	i := 0
	for region, until := range g.regions(l) {
		c := pairCodes[g.table[region]]
		if c.code == nil { // all of them 0
			i = max(i, until)
			continue
		}
		for i < until && in.at < end {
			ahead := in.ahead()
			x, y, n := c.read(ahead)
			ahead <<= n
			var used int
			to[i], used = c.value(x, ahead)
			n += used
			ahead <<= used
			to[i+1], used = c.value(y, ahead)
			in.at += n + used
			i += 2
		}
	}
	g.used = i
}

// value adds to a value what comes behind its word, further bits and a sign, and says how many bits
// those are.
func (c pairCode) value(x int, ahead uint64) (value float32, used int) {
	if x == 0 {
		return 0, 0
	}
	if x == 15 && c.extra > 0 {
		x += int(ahead >> (64 - c.extra))
		ahead <<= c.extra
		used = c.extra
	}
	value = powers[x]
	if ahead>>63 != 0 {
		value = -value
	}
	return value, used + 1
}

// readQuads reads the lines behind the pairs, which are coded in fours until the bits end.
func (g *granule) readQuads(in *bits, end int, to *[lines]float32) {
	i := g.used
	for in.at < end && i+4 <= lines {
		ahead := in.ahead()
		_, y, n := quadCodes[g.quad].read(ahead)
		ahead <<= n
		var four [4]float32
		for k := range four {
			if y>>(3-k)&1 == 0 {
				continue
			}
			four[k] = 1
			if ahead>>63 != 0 {
				four[k] = -1
			}
			ahead <<= 1
			n++
		}
		if in.at+n > end { // cut off: no value
			break
		}
		in.at += n
		copy(to[i:], four[:])
		i += 4
	}
	g.used = i
}
