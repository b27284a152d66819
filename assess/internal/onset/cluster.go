package onset

import (
	"cmp"
	"math"
	"slices"
)

// cluster is a stretch of time around one maximum of the clapping's curve.
type cluster struct {
	top      float64 // time of the maximum, seconds
	height   float64 // of the curve, over that of the recording's strong ones
	from, to float64 // seconds
}

// clusters is the curve of how much clapping goes on and its maxima. The curve is the root of the
// power of the clap band without the room's tail, smoothed over the spread of a group; the root
// keeps one loud pair of hands from being taken for the group.
type clusters struct {
	sigma float64   // of the smoothing, seconds
	sum   []float64 // prefix sums of the energy that is new, by step
	curve []float32
	scale float64
	list  []cluster
}

func newClusters(a *Analysis, sigma float64) *clusters {
	dry := a.newEnergy(false)
	c := &clusters{sigma: sigma, sum: make([]float64, len(dry)+1)}
	root := make([]float32, len(dry))
	for i, x := range dry {
		root[i] = float32(math.Sqrt(x))
		c.sum[i+1] = c.sum[i] + x
	}
	c.curve = Smooth(nil, root, sigma/ActivityStep)
	c.find()
	return c
}

// ridge is a run of the curve that has one top so far.
type ridge struct {
	top, from, to int // steps; to is the valley that ends it
	kept          bool
}

// find parts the curve into clusters: from the shallowest dip to the deepest, what a dip parts is
// joined unless the dip is deep compared with the lower side.
func (c *clusters) find() {
	y := c.curve
	tops := c.tops()
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
	slices.SortStableFunc(valleys, func(a, b int) int {
		return cmp.Compare(y[ridges[b].from], y[ridges[a].from])
	})
	for _, right := range valleys {
		left := right - 1
		for !ridges[left].kept {
			left--
		}
		dip := y[ridges[right].from]
		shallow := clusterValley
		if float64(ridges[right].top-ridges[left].top)*ActivityStep > clusterNear*c.sigma {
			shallow = clusterFar
		}
		if dip < float32(shallow)*min(y[ridges[left].top], y[ridges[right].top]) {
			continue
		}
		ridges[left].to = ridges[right].to
		if y[ridges[right].top] > y[ridges[left].top] {
			ridges[left].top = ridges[right].top
		}
		ridges[right].kept = false
	}
	c.scale = c.strong(ridges)
	for _, r := range ridges {
		height := float64(y[r.top]) / c.scale
		if !r.kept || height < clusterLeast {
			continue
		}
		top := (float64(r.top) + 0.5) * ActivityStep
		c.list = append(c.list, cluster{
			top: top, height: height,
			from: max(float64(r.from)*ActivityStep, top-clusterReach*c.sigma),
			to:   min(float64(r.to+1)*ActivityStep, top+clusterReach*c.sigma),
		})
	}
}

// tops lists the maxima of the curve.
func (c *clusters) tops() []int {
	var tops []int
	for i, y := range c.curve {
		var before, after float32
		if i > 0 {
			before = c.curve[i-1]
		}
		if i+1 < len(c.curve) {
			after = c.curve[i+1]
		}
		if y > 0 && y >= before && y > after {
			tops = append(tops, i)
		}
	}
	return tops
}

// strong is the height of the recording's strong clusters: the 80 % quantile of those above a sixth
// of the highest but 2 %.
func (c *clusters) strong(ridges []ridge) float64 {
	var heights []float64
	for _, r := range ridges {
		if r.kept {
			heights = append(heights, float64(c.curve[r.top]))
		}
	}
	slices.Sort(heights)
	top := heights[len(heights)-1-len(heights)/50]
	from, _ := slices.BinarySearch(heights, top/6)
	heights = heights[from:]
	return heights[int(0.8*float64(len(heights)-1))]
}

// energy is the energy that is new between two times.
func (c *clusters) energy(from, to float64) float64 {
	lo, hi := max(0, int(from/ActivityStep)), min(int(to/ActivityStep)+1, len(c.sum)-1)
	if hi <= lo {
		return 0
	}
	return c.sum[hi] - c.sum[lo]
}
