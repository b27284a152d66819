package onset

import (
	"cmp"
	"math"
	"slices"
)

const (
	heapStep   = 0.010 // seconds
	heapFrames = 5     // frames in a step
	heapTight  = 0.030 // smoothing in seconds, about the spread of a group's claps
	heapLoose  = 0.040 // the same for a group that claps far apart
	heapValley = 0.75  // a dip that is shallower than this does not part two heaps
	heapFar    = 0.92  // the same where the tops are farther apart than one burst is wide
	heapNear   = 4.4   // smoothings between tops: farther is far
	heapReach  = 5.0   // smoothings on either side of its top that a heap claims at most
	heapLeast  = 0.12  // height over that of the strong ones
	aboveFloor = 3.0   // times the floor that do not count
)

// heap is a stretch of time around one maximum of the clapping's curve.
type heap struct {
	top      float64 // time of the maximum, seconds
	height   float64 // of the curve, over that of the recording's strong ones
	from, to float64 // seconds
}

// heaps is the curve of how much clapping goes on and its maxima. The curve is the root of the power of the clap band
// without the room's tail, smoothed over the spread of a group; the root keeps one loud pair of hands from being taken
// for the group.
type heaps struct {
	sigma float64   // of the smoothing, seconds
	dry   []float64 // energy without the room's tail by step
	sum   []float64 // prefix sums of dry
	curve []float64
	scale float64
	list  []heap
}

func newHeaps(a *Analysis, sigma float64) *heaps {
	clap := a.Envelope.Clap
	n := len(clap) / heapFrames
	h := &heaps{sigma: sigma, dry: make([]float64, n), sum: make([]float64, n+1)}
	keep := math.Exp(-FrameSeconds / a.Kernel.Decay)
	root := make([]float64, n)
	before := 0.0
	for i := range n {
		floor := (1 - keep) * aboveFloor * a.ClapFloor(float64(i)*heapStep)
		for _, x := range clap[i*heapFrames : (i+1)*heapFrames] {
			now := float64(x)
			h.dry[i] += max(0, now-keep*before-floor)
			before = now
		}
		root[i] = math.Sqrt(h.dry[i])
		h.sum[i+1] = h.sum[i] + h.dry[i]
	}
	h.curve = smooth(root, sigma/heapStep)
	h.find()
	return h
}

// smooth convolves with a normal curve of unit sum; sigma in samples.
func smooth(in []float64, sigma float64) []float64 {
	reach := int(math.Ceil(3 * sigma))
	weights := make([]float64, 2*reach+1)
	total := 0.0
	for i := range weights {
		x := float64(i-reach) / sigma
		weights[i] = math.Exp(-x * x / 2)
		total += weights[i]
	}
	out := make([]float64, len(in))
	for i, x := range in {
		if x == 0 {
			continue
		}
		for k, w := range weights {
			if j := i + k - reach; j >= 0 && j < len(out) {
				out[j] += w / total * x
			}
		}
	}
	return out
}

// ridge is a run of the curve that has one top so far.
type ridge struct {
	top, from, to int // steps; to is the valley that ends it
	kept          bool
}

// find parts the curve into heaps: from the shallowest dip to the deepest, what a dip parts is joined unless the dip is deep
// compared with the lower side.
func (h *heaps) find() {
	y := h.curve
	tops := h.tops()
	if len(tops) == 0 {
		return
	}
	ridges := make([]ridge, len(tops))
	valleys := make([]int, 0, len(tops))
	for i, t := range tops {
		ridges[i] = ridge{top: t, from: 0, to: len(y) - 1, kept: true}
		if i > 0 {
			low := t
			for k := tops[i-1]; k < t; k++ {
				if y[k] < y[low] {
					low = k
				}
			}
			ridges[i].from, ridges[i-1].to = low, low
			valleys = append(valleys, i)
		}
	}
	slices.SortStableFunc(valleys, func(a, b int) int { return cmp.Compare(y[ridges[b].from], y[ridges[a].from]) })
	for _, right := range valleys {
		left := right - 1
		for !ridges[left].kept {
			left--
		}
		dip := y[ridges[right].from]
		shallow := heapValley
		if float64(ridges[right].top-ridges[left].top)*heapStep > heapNear*h.sigma {
			shallow = heapFar
		}
		if dip < shallow*min(y[ridges[left].top], y[ridges[right].top]) {
			continue
		}
		ridges[left].to = ridges[right].to
		if y[ridges[right].top] > y[ridges[left].top] {
			ridges[left].top = ridges[right].top
		}
		ridges[right].kept = false
	}
	h.scale = h.strong(ridges)
	for _, r := range ridges {
		height := y[r.top] / h.scale
		if !r.kept || height < heapLeast {
			continue
		}
		top := (float64(r.top) + 0.5) * heapStep
		h.list = append(h.list, heap{
			top: top, height: height,
			from: max(float64(r.from)*heapStep, top-heapReach*h.sigma), to: min(float64(r.to+1)*heapStep, top+heapReach*h.sigma),
		})
	}
}

// tops lists the maxima of the curve.
func (h *heaps) tops() []int {
	var tops []int
	for i, y := range h.curve {
		before, after := 0.0, 0.0
		if i > 0 {
			before = h.curve[i-1]
		}
		if i+1 < len(h.curve) {
			after = h.curve[i+1]
		}
		if y > 0 && y >= before && y > after {
			tops = append(tops, i)
		}
	}
	return tops
}

// strong is the height of the recording's strong heaps: the 80 % quantile of those above a sixth of the highest but 2 %.
func (h *heaps) strong(ridges []ridge) float64 {
	var heights []float64
	for _, r := range ridges {
		if r.kept {
			heights = append(heights, h.curve[r.top])
		}
	}
	slices.Sort(heights)
	top := heights[len(heights)-1-len(heights)/50]
	from, _ := slices.BinarySearch(heights, top/6)
	heights = heights[from:]
	return heights[int(0.8*float64(len(heights)-1))]
}

// energy is the energy without the room's tail between two times.
func (h *heaps) energy(from, to float64) float64 {
	lo, hi := max(0, int(from/heapStep)), min(int(to/heapStep)+1, len(h.dry))
	if hi <= lo {
		return 0
	}
	return h.sum[hi] - h.sum[lo]
}
