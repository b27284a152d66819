package activity

import (
	"math"
	"slices"
	"sort"

	"clapladder.example/assess/internal/onset"
)

// Activity is how much clapping goes on, as a curve that bursts of one hand and of many raise
// alike: the power of the clap band without the room's tail, as a root, smoothed over the spread of
// a group, relative to the strong bursts of the recording. Below the noise it is zero.
type Activity struct {
	scale  float64   // height of the recording's strong bursts
	smooth []float32 // by Step
	before []sums    // of smooth, up to every sumSteps-th value: one for each would be most of it
	peaks  []Peak
}

// Everyone is the activity of all sources, from which some can be taken out.
type Everyone struct {
	Activity
	raw []float32 // root of the power without the room's tail
}

// sums is the sum of values and that of their squares.
type sums struct{ of, squares float64 }

const sumSteps = 32

// Peak is a maximum of the curve that stands out from the noise.
type Peak struct{ Time, Height float64 }

// New measures the clap band, or all bands for phrases with stamps and pats, whose power
// lies lower.
func New(a *onset.Analysis, all bool) *Everyone {
	energy := a.Activity(all)
	raw := make([]float32, len(energy))
	for i, x := range energy {
		raw[i] = float32(math.Sqrt(x))
	}
	return Smoothed(raw, 0)
}

// Without is the activity with a source taken out: share says, attack by attack, how much of it is
// that source's. The room's tail is already gone, so only the direct sound is cut.
func (c *Everyone) Without(attacks []onset.Attack, share func(i int) float64) *Activity {
	raw := slices.Clone(c.raw)
	for i, a := range attacks {
		keep := 1 - share(i)
		if keep > 0.99 {
			continue
		}
		from := int((a.Time - 0.004) / Step)
		for k := max(from, 0); k < min(from+directSteps, len(raw)); k++ {
			raw[k] *= float32(keep)
		}
	}
	return smoothed(raw, c.scale)
}

// Smoothed scales the power and prepares look-ups. It keeps raw.
func Smoothed(raw []float32, scale float64) *Everyone {
	return &Everyone{*smoothed(raw, scale), raw}
}

func smoothed(raw []float32, scale float64) *Activity {
	c := &Activity{scale: scale, smooth: onset.Smooth(nil, raw, sigma/Step)}
	if scale == 0 {
		c.scale = c.strong()
	}
	n := len(c.smooth)
	for i, y := range c.smooth {
		c.smooth[i] = float32(min(float64(y)/c.scale, most))
	}
	c.before = make([]sums, 0, n/sumSteps+1)
	var all sums
	for i, y := range c.smooth {
		if i%sumSteps == 0 {
			c.before = append(c.before, all)
		}
		y64 := float64(y)
		all.of, all.squares = all.of+y64, all.squares+y64*y64
		if y > LeastPeak && i > 0 && i+1 < n && y >= c.smooth[i-1] && y > c.smooth[i+1] {
			c.peaks = append(c.peaks, Peak{(float64(i) + 0.5) * Step, y64})
		}
	}
	if n%sumSteps == 0 {
		c.before = append(c.before, all)
	}
	return c
}

// upTo sums the smooth curve's first n values.
func (c *Activity) upTo(n int) sums {
	all := c.before[n/sumSteps]
	for _, y := range c.smooth[n-n%sumSteps : n] {
		y64 := float64(y)
		all.of, all.squares = all.of+y64, all.squares+y64*y64
	}
	return all
}

// clipped are the values between two times, seconds; hi is not more than lo where there is none.
func (c *Activity) clipped(from, to float64) (lo, hi int) {
	return max(int(from/Step), 0), min(int(to/Step), len(c.smooth))
}

// Highest is the largest value of the curve between two times.
func (c *Activity) Highest(from, to float64) float64 {
	top := 0.0
	for i := max(0, int(from/Step)); i <= min(int(to/Step), len(c.smooth)-1); i++ {
		top = max(top, float64(c.smooth[i]))
	}
	return top
}

// strong is the height of the recording's strong bursts: the 80 % quantile of the curve's maxima
// that stand out.
func (c *Activity) strong() float64 {
	var peaks []float64
	for i := 1; i+1 < len(c.smooth); i++ {
		if y := c.smooth[i]; y > 0 && y >= c.smooth[i-1] && y > c.smooth[i+1] {
			peaks = append(peaks, float64(y))
		}
	}
	if len(peaks) == 0 {
		return 1
	}
	slices.Sort(peaks)
	top := peaks[len(peaks)-1-len(peaks)/50]
	from, _ := slices.BinarySearch(peaks, top/6)
	peaks = peaks[from:]
	return max(peaks[int(0.8*float64(len(peaks)-1))], 0.8*top)
}

// Peaks are the maxima from one time on until another.
func (c *Activity) Peaks(from, to float64) []Peak {
	at := func(time float64) int {
		return sort.Search(len(c.peaks), func(i int) bool { return c.peaks[i].Time >= time })
	}
	first := at(from)
	return c.peaks[first:max(first, at(to))]
}
