package layer3

// slen are the bits of the scale factors of the lower and of the upper bands, of MPEG-1 (ISO/IEC
// 11172-3, 2.4.2.7).
var slen = [2][16]int{
	{0, 0, 0, 0, 3, 1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4},
	{0, 1, 2, 3, 0, 1, 2, 3, 1, 2, 3, 1, 2, 3, 2, 3},
}

// readScale reads the scale factors of MPEG-1. before is the granule before, of the same channel.
func (g *granule) readScale(in *bits, before *granule, l *layout) {
	lower, upper := slen[0][g.factors], slen[1][g.factors]
	g.scale = [39]int8{}
	if g.short() {
		// The lower ones reach up to the sixth short band.
		n, from := len(l.end)-3, l.longBands()
		half := from + 3*6
		if g.mixed {
			half -= 3 * mixedFrom
		}
		for i := range n {
			length := upper
			if i < half {
				length = lower
			}
			g.scale[i] = int8(in.take(length))
		}
		return
	}
	bounds := [5]int{0, 6, 11, 16, 21}
	for group, again := range g.again {
		for i := bounds[group]; i < bounds[group+1]; i++ {
			switch {
			case again:
				g.scale[i] = before.scale[i]
			case group < 2:
				g.scale[i] = int8(in.take(lower))
			default:
				g.scale[i] = int8(in.take(upper))
			}
		}
	}
}

// lowCounts is how many scale factors have the first, second … number of bits, of MPEG-2: by the
// way they are coded, then of long, short and mixed windows (ISO/IEC 13818-3, 2.4.3.2).
var lowCounts = [6][3][4]int{
	{{6, 5, 5, 5}, {9, 9, 9, 9}, {6, 9, 9, 9}},
	{{6, 5, 7, 3}, {9, 9, 12, 6}, {6, 9, 12, 6}},
	{{11, 10, 0, 0}, {18, 18, 0, 0}, {15, 18, 0, 0}},
	{{7, 7, 7, 0}, {12, 12, 12, 0}, {6, 15, 12, 0}},
	{{6, 6, 6, 3}, {12, 9, 9, 6}, {6, 12, 9, 6}},
	{{8, 8, 5, 0}, {15, 12, 9, 0}, {6, 18, 9, 0}},
}

// readLowScale reads the scale factors of MPEG-2. Those of a right channel sent by intensity are
// directions.
func (g *granule) readLowScale(in *bits, directions bool) {
	way, lengths := g.lowLengths(directions)
	kind := 0
	if g.short() {
		kind = 1 + bit(g.mixed)
	}
	g.scale, g.illegal = [39]int8{}, [39]int8{}
	at := 0
	for i, n := range lowCounts[way][kind] {
		for range n {
			g.scale[at] = int8(in.take(lengths[i]))
			if g.illegal[at] = -1; lengths[i] > 0 {
				g.illegal[at] = int8(1<<lengths[i] - 1)
			}
			at++
		}
	}
}

func (g *granule) lowLengths(directions bool) (way int, lengths [4]int) {
	x := g.factors
	if !directions {
		switch {
		case x < 400:
			return 0, [4]int{x >> 4 / 5, x >> 4 % 5, x & 15 >> 2, x & 3}
		case x < 500:
			x -= 400
			return 1, [4]int{x >> 2 / 5, x >> 2 % 5, x & 3, 0}
		}
		g.high = true
		x -= 500
		return 2, [4]int{x / 3, x % 3, 0, 0}
	}
	switch x >>= 1; {
	case x < 180:
		return 3, [4]int{x / 36, x % 36 / 6, x % 6, 0}
	case x < 244:
		x -= 180
		return 4, [4]int{x >> 4, x >> 2 & 3, x & 3, 0}
	}
	x -= 244
	return 5, [4]int{x / 3, x % 3, 0, 0}
}
