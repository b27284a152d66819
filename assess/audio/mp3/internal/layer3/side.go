package layer3

// side is the side information of a frame; what it says of granules stands in them.
type side struct {
	before int // bytes before this frame's own main data at which its bits begin
}

// granule is one granule of one channel: what the side information and the scale factors say.
type granule struct {
	length   int // bits of main data: scale factors and lines
	pairs    int // coded in twos; the rest, of at most 1, in fours
	gain     int // quarters of a factor of 2, less 210
	factors  int // how the scale factors are coded
	window   int // 0: long; 1, 3: long, before and after short ones; 2: three short ones
	mixed    bool
	table    [3]int // number of the code of each region
	shortage [3]int // gain that each short window lacks, in steps of 8 quarters
	region   [2]int // bands of the first two regions, less 1; negative: fixed bounds
	high     bool   // the upper bands have higher scale factors than were sent
	coarse   bool   // scale factors count double
	quad     int    // number of the code of fours
	again    [4]bool

	scale   [39]int8 // scale factors, in the order of the layout's bands
	illegal [39]int8 // the scale factor that is no direction, of MPEG-2's intensity
	used    int      // lines that may differ from 0
}

// short reports whether most lines come from three short windows.
func (g *granule) short() bool { return g.window == 2 }

// readSide reads the side information. It is not ok where it is cut short or says what can't be.
func (d *Decoder) readSide(f Frame) (s side, ok bool) {
	padded := make([]byte, 0, 32+spare)
	padded = append(padded, f.Side[:min(len(f.Side), 32)]...)
	in := bits{data: append(padded, make([]byte, spare)...)}
	mono := f.Channels == 1
	ok = true
	again := [2][4]bool{}
	switch {
	case f.Version == 1:
		s.before = in.take(9)
		if in.take(3); mono {
			in.take(2)
		}
		for c := range f.Channels {
			for i := range again[c] {
				again[c][i] = in.flag()
			}
		}
	default:
		s.before = in.take(8)
		if in.take(1); !mono {
			in.take(1)
		}
	}
	for g := range f.granules() {
		for c := range f.Channels {
			one := &d.granules[g][c]
			ok = one.read(&in, f.Version == 1) && ok
			if one.again = [4]bool{}; g == 1 {
				one.again = again[c]
			}
		}
	}
	return s, ok && in.at <= 8*len(f.Side)
}

// read reads the side information of one granule of one channel.
func (g *granule) read(in *bits, first bool) bool {
	g.length, g.pairs, g.gain = in.take(12), in.take(9), in.take(8)-210
	g.factors = in.take(9 - 5*bit(first))
	g.window, g.mixed, g.shortage, g.region = 0, false, [3]int{}, [2]int{-1, -1}
	switched := in.flag()
	if switched {
		g.window, g.mixed = in.take(2), in.flag()
		g.table = [3]int{in.take(5), in.take(5), 0}
		g.shortage = [3]int{in.take(3), in.take(3), in.take(3)}
		g.mixed = g.mixed && g.short()
	} else {
		g.table = [3]int{in.take(5), in.take(5), in.take(5)}
		g.region = [2]int{in.take(4), in.take(3)}
	}
	g.high = first && in.flag()
	g.coarse, g.quad = in.flag(), in.take(1)
	return 2*g.pairs <= lines && (!switched || g.window != 0)
}

func bit(b bool) int {
	if b {
		return 1
	}
	return 0
}
