package exchange

import (
	"math"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
)

// curve is how loud the clap band is above the room, as a root, without the room's tail and
// smoothed over the spread of a group; in steps of curveStep from a start.
type curve struct {
	start      float64   // seconds
	wide       []float64 // smoothed once more, so that a correlation with pulses is a look-up
	mean, norm float64
}

const (
	curveStep  = 0.01
	curveReach = 6   // steps to either side that the smoothing takes in
	curveSigma = 2.5 // steps
	around     = 0.4 // seconds before the first note and after the last one that belong to an answer
)

func (l listener) curve(from, to float64) curve {
	const frames = int(curveStep * onset.FrameRate)
	clap := l.a.Envelope.Clap
	dry := make([]float64, max(0, int((to-from)/curveStep)))
	keep := math.Exp(-curveStep / max(0.01, l.a.Kernel.Decay) / 2)
	floor, before := 3*l.a.ClapFloor((from+to)/2), 0.0
	for i := range dry {
		s := 0.0
		for k := range frames {
			if j := int(from*onset.FrameRate) + i*frames + k; j >= 0 && j < len(clap) {
				s += max(0, float64(clap[j])-floor)
			}
		}
		now := math.Sqrt(s)
		dry[i] = max(0, now-keep*before)
		before = now
	}
	c := curve{start: from}
	once := smooth(dry)
	c.wide = smooth(once)
	c.mean = mean(once)
	for _, y := range once {
		c.norm += (y - c.mean) * (y - c.mean)
	}
	return c
}

func smooth(x []float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		s, w := 0.0, 0.0
		for d := -curveReach; d <= curveReach; d++ {
			if k := i + d; k >= 0 && k < len(x) {
				g := math.Exp(-float64(d*d) / (2 * curveSigma * curveSigma))
				s, w = s+g*x[k], w+g
			}
		}
		out[i] = s / w
	}
	return out
}

// fit is the correlation of the curve with pulses at the given times, the best over small shifts
// and stretches: -1 to about 1.
func (c curve) fit(times []float64) float64 {
	if c.norm <= 0 || len(times) == 0 {
		return 0
	}
	n := float64(len(c.wide))
	pulses := float64(len(times))
	// A pulse is a normal curve of unit sum; the square of one has the sum 1/(2 sigma sqrt(pi)).
	norm := pulses/(2*curveSigma*math.Sqrt(math.Pi)) - pulses*pulses/n
	if norm <= 0 {
		return 0
	}
	best := math.Inf(-1)
	for _, ratio := range fitRatios {
		for shift := -fitShift; shift <= fitShift+1e-9; shift += fitStep {
			sum := 0.0
			for _, t := range times {
				x := (times[0] + (t-times[0])*ratio + shift - c.start) / curveStep
				if i := int(x); x >= 0 && i+1 < len(c.wide) {
					f := x - float64(i)
					sum += c.wide[i]*(1-f) + c.wide[i+1]*f
				}
			}
			best = max(best, sum-pulses*c.mean)
		}
	}
	return best / math.Sqrt(c.norm*norm)
}

// How freely a rhythm is laid over an answer.
var fitRatios = []float64{0.94, 0.97, 1, 1.03, 1.06}

const (
	fitShift = 0.16 // seconds
	fitStep  = 0.02
)

// othersAsked is how many other calls an answer is compared with.
const othersAsked = 6

// gains says for each answered round how much better its answer fits its own call than, on average,
// calls of another rhythm nearby in the recording, which are laid at the same place with the same
// freedom; NaN where there is no other rhythm.
func gains(l listener, answered []rounds.Round) []float64 {
	out := make([]float64, len(answered))
	rhythms := make([][]float64, len(answered))
	for i, r := range answered {
		rhythms[i] = rhythmOf(r)
	}
	for i, r := range answered {
		m := r.Answer.Map
		times := notes(r.Call.Phrase, m)
		beat := m.BeatSeconds(r.Call.Phrase)
		longest := times[len(times)-1] - times[0]
		var strange [][]float64
		for _, j := range nearest(i, len(answered)) {
			if len(strange) == othersAsked {
				break
			}
			if same(rhythms[i], rhythms[j]) || known(strange, rhythms[j]) {
				continue
			}
			strange = append(strange, rhythms[j])
			longest = max(longest, min(beat*rhythms[j][len(rhythms[j])-1], times[len(times)-1]-times[0]+1))
		}
		if len(strange) == 0 {
			out[i] = math.NaN()
			continue
		}
		c := l.curve(times[0]-around, times[0]+longest+around)
		sum := 0.0
		for _, rhythm := range strange {
			laid := make([]float64, len(rhythm))
			for k, b := range rhythm {
				laid[k] = times[0] + b*beat
			}
			sum += c.fit(laid)
		}
		out[i] = c.fit(times) - sum/float64(len(strange))
	}
	return out
}

// nearest lists the other places of n from the nearest to i outwards.
func nearest(i, n int) []int {
	var out []int
	for d := 1; d < n; d++ {
		for _, j := range []int{i - d, i + d} {
			if j >= 0 && j < n {
				out = append(out, j)
			}
		}
	}
	return out
}

// rhythmOf is where a round's strokes lie, in beats from the first.
func rhythmOf(r rounds.Round) []float64 {
	times := notes(r.Call.Phrase, r.Call.Map)
	beat := r.Call.Map.BeatSeconds(r.Call.Phrase)
	out := make([]float64, len(times))
	for i, t := range times {
		out[i] = (t - times[0]) / beat
	}
	return out
}

// even reports whether a rhythm's gaps are all alike.
func even(rhythm []float64) bool {
	least, most := math.Inf(1), math.Inf(-1)
	for i := 1; i < len(rhythm); i++ {
		gap := rhythm[i] - rhythm[i-1]
		least, most = min(least, gap), max(most, gap)
	}
	return most-least <= 0.1
}

// same reports whether two rhythms are one.
func same(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if math.Abs(a[i]-b[i]) > 0.05 {
			return false
		}
	}
	return true
}

func known(list [][]float64, rhythm []float64) bool {
	for _, x := range list {
		if same(x, rhythm) {
			return true
		}
	}
	return false
}
