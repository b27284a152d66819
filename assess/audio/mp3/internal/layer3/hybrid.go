package layer3

import "math"

// reorder puts the lines of short windows, which come window by window, in order of frequency:
// three in turn.
func (g *granule) reorder(to *[lines]float32, layouts *layouts) {
	if !g.short() || g.used == 0 {
		return
	}
	l := layouts.of(g)
	var band [lines]float32
	for i := l.longBands(); i < len(l.end) && l.start(i) < g.used; i += 3 {
		start, end := l.start(i), l.end[i+2]
		width := (end - start) / 3
		for k := range width {
			for w := range 3 {
				band[3*k+w] = to[start+w*width+k]
			}
		}
		copy(to[start:end], band[:end-start])
		g.used = max(g.used, end)
	}
}

// butterflies take out what neighbouring subbands hold of each other (ISO/IEC 11172-3, Table
// 3-B.9).
var butterflies = func() (b [8]struct{ s, a float32 }) {
	for i, c := range []float64{-0.6, -0.535, -0.33, -0.185, -0.095, -0.041, -0.0142, -0.0037} {
		root := math.Sqrt(1 + c*c)
		b[i].s, b[i].a = float32(1/root), float32(c/root)
	}
	return b
}()

// windows are the four windows of the cosine transform; of the short one only the first 12 values.
var windows = func() (w [4][36]float32) {
	for i := range 36 {
		long := math.Sin(math.Pi / 36 * (float64(i) + 0.5))
		w[0][i], w[1][i], w[3][35-i] = float32(long), float32(long), float32(long)
	}
	for i := 18; i < 36; i++ {
		edge := 0.0
		switch {
		case i < 24:
			edge = 1
		case i < 30:
			edge = math.Sin(math.Pi / 12 * (float64(i-18) + 0.5))
		}
		w[1][i], w[3][35-i] = float32(edge), float32(edge)
	}
	for i := range 12 {
		w[2][i] = float32(math.Sin(math.Pi / 12 * (float64(i) + 0.5)))
	}
	return w
}()

// hybrid is the first filter bank of one channel: it turns the lines of each subband into samples,
// of which half overlap with the next granule's.
type hybrid struct {
	overlap [subbands][slots]float32
	busy    int // subbands whose overlap may differ from 0
}

// synthesise turns lines into the samples of the subbands, by time, then subband.
func (h *hybrid) synthesise(out *[lines]float32, in *[lines]float32, g *granule) {
	used := min(subbands, (g.used+slots-1)/slots) // subbands
	edges := min(used, subbands-1)                // between subbands
	if g.short() {
		edges = 0
		if g.mixed {
			edges = 1
		}
	}
	for sb := 1; sb <= edges; sb++ {
		at := in[slots*sb-8 : slots*sb+8 : slots*sb+8]
		for i, b := range butterflies {
			low, up := at[7-i], at[8+i]
			at[7-i], at[8+i] = low*b.s-up*b.a, up*b.s+low*b.a
		}
	}
	if edges > 0 {
		used = max(used, min(subbands, edges+1))
	}
	var wave [36]float32
	for sb := range subbands {
		if sb >= max(used, h.busy) {
			for t := range slots {
				out[subbands*t+sb] = 0
			}
			continue
		}
		lines := (*[slots]float32)(in[slots*sb:])
		switch {
		case sb >= used:
			wave = [36]float32{}
		case g.short() && !(g.mixed && sb < 2):
			shortWave(&wave, lines)
		case g.short():
			longWave(&wave, lines, &windows[0])
		default:
			longWave(&wave, lines, &windows[g.window])
		}
		overlap := &h.overlap[sb]
		for t := range slots {
			x := wave[t] + overlap[t]
			if sb&t&1 == 1 { // every other subband runs backwards in frequency
				x = -x
			}
			out[subbands*t+sb] = x
			overlap[t] = wave[slots+t]
		}
	}
	h.busy = used
}

// longWave is the inverse modified cosine transform of 18 lines, windowed: the sum over k of
// line k times cos(pi/72 (2i+19)(2k+1)). Its 36 values are 18 of a cosine transform of the fourth
// kind, mirrored.
func longWave(out *[36]float32, in *[slots]float32, window *[36]float32) {
	var b, y [19]float32
	for k, x := range in {
		b[k] = x * lee36[k]
	}
	cosine18(&b)
	for n := range slots {
		y[n] = b[n] + b[n+1]
	}
	for i := range 9 {
		out[i] = y[9+i] * window[i]
		out[27+i] = -y[i] * window[27+i]
	}
	for i := 9; i < 27; i++ {
		out[i] = -y[26-i] * window[i]
	}
}

// shortWave is three transforms of 6 lines each, 12 values long and 6 apart.
func shortWave(out *[36]float32, in *[slots]float32) {
	*out = [36]float32{}
	for w := range 3 {
		var y [6]float32
		for n := range y {
			for k := range y {
				y[n] += in[3*k+w] * cosines12[n][k]
			}
		}
		at := out[6+6*w:][:12]
		window := &windows[2]
		for i := range 3 {
			at[i] += y[3+i] * window[i]
			at[9+i] -= y[i] * window[9+i]
		}
		for i := 3; i < 9; i++ {
			at[i] -= y[8-i] * window[i]
		}
	}
}
