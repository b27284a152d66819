package layer3

// edges are the scale factor bands of a rate: the lines at which they end (ISO/IEC 11172-3, Table
// 3-B.8; 13818-3, Table B.2; those of MPEG-2.5 by common practice, no source).
type edges struct {
	long  [22]int // of 576 lines
	short [13]int // of the 192 lines of one short window
}

var (
	edges24k = edges{
		[22]int{
			6, 12, 18, 24, 30, 36, 44, 54, 66, 80, 96, 114, 136, 162, 194, 232, 278, 332, 394, 464, 540,
			576,
		},
		[13]int{4, 8, 12, 18, 26, 36, 48, 62, 80, 104, 136, 180, 192},
	}
	edges16k = edges{
		[22]int{
			6, 12, 18, 24, 30, 36, 44, 54, 66, 80, 96, 116, 140, 168, 200, 238, 284, 336, 396, 464, 522,
			576,
		},
		[13]int{4, 8, 12, 18, 26, 36, 48, 62, 80, 104, 134, 174, 192},
	}
	bandEdges = map[int]edges{
		44100: {
			[22]int{
				4, 8, 12, 16, 20, 24, 30, 36, 44, 52, 62, 74, 90, 110, 134, 162, 196, 238, 288, 342, 418,
				576,
			},
			[13]int{4, 8, 12, 16, 22, 30, 40, 52, 66, 84, 106, 136, 192},
		},
		48000: {
			[22]int{
				4, 8, 12, 16, 20, 24, 30, 36, 42, 50, 60, 72, 88, 106, 128, 156, 190, 230, 276, 330, 384,
				576,
			},
			[13]int{4, 8, 12, 16, 22, 28, 38, 50, 64, 80, 100, 126, 192},
		},
		32000: {
			[22]int{
				4, 8, 12, 16, 20, 24, 30, 36, 44, 54, 66, 82, 102, 126, 156, 194, 240, 296, 364, 448, 550,
				576,
			},
			[13]int{4, 8, 12, 16, 22, 30, 42, 58, 78, 104, 138, 180, 192},
		},
		22050: {edges16k.long, [13]int{4, 8, 12, 18, 24, 32, 42, 56, 74, 100, 132, 174, 192}},
		24000: edges24k,
		16000: edges16k,
		11025: edges16k,
		12000: edges16k,
		8000: {
			[22]int{
				12, 24, 36, 48, 60, 72, 88, 108, 132, 160, 192, 232, 280, 336, 400, 476, 566, 568, 570, 572,
				574, 576,
			},
			[13]int{8, 16, 24, 36, 52, 72, 96, 124, 160, 162, 164, 166, 192},
		},
	}
)

// layout is how the lines of a granule are laid out, band after band. Each short band stands three
// times, once for each window.
type layout struct {
	end    []int // line at which each band ends
	window []int // of each band: 0 to 2, or -1 of a long one
}

// layouts are the layouts of one rate: of long windows, of short ones, and of both.
type layouts struct {
	long, short, mixed layout
	edges              edges
}

// of is the layout of a granule.
func (l *layouts) of(g *granule) *layout {
	switch {
	case g.mixed:
		return &l.mixed
	case g.short():
		return &l.short
	}
	return &l.long
}

var allLayouts = func() map[int]*layouts {
	all := map[int]*layouts{}
	for rate, e := range bandEdges {
		all[rate] = newLayouts(e)
	}
	return all
}()

func layoutsOf(f Frame) *layouts { return allLayouts[f.Rate] }

// mixedFrom is the first short band of a mixed granule: below it are long ones.
const mixedFrom = 3

func newLayouts(e edges) *layouts {
	l := &layouts{edges: e}
	for _, end := range e.long {
		l.long.add(end, -1)
		if end <= 3*e.short[mixedFrom-1] {
			l.mixed.add(end, -1)
		}
	}
	start := 0
	for band, end := range e.short {
		for window := range 3 {
			at := 3*start + (window+1)*(end-start)
			l.short.add(at, window)
			if band >= mixedFrom {
				l.mixed.add(at, window)
			}
		}
		start = end
	}
	return l
}

func (l *layout) add(end, window int) {
	l.end, l.window = append(l.end, end), append(l.window, window)
}

// start is the first line of a band.
func (l *layout) start(band int) int {
	if band == 0 {
		return 0
	}
	return l.end[band-1]
}

// longBands is how many of the bands are long.
func (l *layout) longBands() int {
	n := 0
	for n < len(l.window) && l.window[n] < 0 {
		n++
	}
	return n
}
