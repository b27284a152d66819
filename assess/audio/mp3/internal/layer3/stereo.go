package layer3

import (
	"math"
	"slices"
)

// stereo gives the lines of two channels back to left and right.
func stereo(channels *[2]granule, to *[2][lines]float32, f Frame, layouts *layouts) {
	left, right := &channels[0], &channels[1]
	used := max(left.used, right.used)
	if f.Intensity {
		layout := layouts.of(right)
		bands := intensityBands(right, &to[1], layout)
		for band := range layout.end {
			from, until := layout.start(band), layout.end[band]
			l, r := directions(right, band, layout, f.Version == 1)
			switch {
			case bands[band] && (l != 0 || r != 0):
				for i := from; i < until; i++ {
					to[0][i], to[1][i] = to[0][i]*l, to[0][i]*r
				}
			case f.Middle:
				middle(to, from, until)
			}
		}
		used = lines
	} else if f.Middle {
		middle(to, 0, used)
	}
	left.used, right.used = used, used
}

// middle makes left and right from their sum and difference.
func middle(to *[2][lines]float32, from, until int) {
	l, r := to[0][from:until], to[1][from:until]
	for i, sum := range l {
		l[i], r[i] = (sum+r[i])*(math.Sqrt2/2), (sum-r[i])*(math.Sqrt2/2)
	}
}

// intensityBands tells which bands are sent by intensity: those above the last one in which the
// right channel has lines of its own, each short window for itself (ISO/IEC 11172-3, 2.4.3.4.9.3).
func intensityBands(right *granule, lines *[lines]float32, l *layout) []bool {
	bands := make([]bool, len(l.end))
	var own [3]bool // of each window, in a band above
	for band := len(l.end) - 1; band >= 0; band-- {
		has := slices.ContainsFunc(lines[l.start(band):l.end[band]], func(x float32) bool { return x != 0 })
		if w := l.window[band]; w >= 0 {
			own[w] = own[w] || has
			bands[band] = !own[w]
			continue
		}
		if has {
			own = [3]bool{true, true, true}
		}
		bands[band] = own == [3]bool{}
	}
	return bands
}

// directions is what is left and right of a band sent by intensity; 0 and 0 where its scale factor
// is no direction. The last band has that of the one before.
func directions(right *granule, band int, l *layout, first bool) (toLeft, toRight float32) {
	switch {
	case l.window[band] < 0 && band == len(l.end)-1:
		band--
	case l.window[band] >= 0 && band >= len(l.end)-3:
		band -= 3
	}
	at := int(right.scale[band])
	if first {
		if at >= 7 {
			return 0, 0
		}
		if at == 6 {
			return 1, 0
		}
		ratio := math.Tan(float64(at) * math.Pi / 12)
		return float32(ratio / (1 + ratio)), float32(1 / (1 + ratio))
	}
	if int8(at) == right.illegal[band] {
		return 0, 0
	}
	step := math.Exp2(-0.25 * float64(1+right.factors&1))
	if at&1 == 1 {
		return float32(math.Pow(step, float64(at+1)/2)), 1
	}
	return 1, float32(math.Pow(step, float64(at)/2))
}
