package rounds

import (
	"math"
	"sort"

	"clapladder.example/assess/internal/activity"
	"clapladder.example/assess/internal/onset"
)

// recording is what sounds, whoever it belongs to. It never changes once made.
type recording struct {
	attacks  []onset.Attack
	level    []float64 // of each attack, dB
	single   []float64 // log odds of each attack that it comes from a single source near the phone
	nearest  nearest
	everyone bands // activity of all sources
	seconds  float64
}

// bands is one activity in two bands: of claps, and of everything, for stamps and pats.
type bands struct{ clap, full *activity.Everyone }

func newRecording(a *onset.Analysis) *recording {
	r := &recording{
		attacks: a.Attacks, level: make([]float64, len(a.Attacks)), single: make([]float64, len(a.Attacks)),
		nearest: newNearest(a.Attacks, a.Envelope.Seconds()), seconds: a.Envelope.Seconds(),
		everyone: bands{clap: activity.New(a, false), full: activity.New(a, true)},
	}
	for i, x := range a.Attacks {
		// a stamp's power lies below the clap band
		r.level[i] = 10*math.Log10(x.Power+1e-20) + 10*math.Log10(1+math.Pow(10, x.Thump/10))
		odds := contrastWeight*(x.Contrast-contrastEven) +
			concentrationWeight*(x.Concentration-concentrationEven)
		r.single[i] = clamp(odds, oddsLimit)
	}
	return r
}

// attackFrom is the first attack at a time, in seconds, or after it; the number of attacks where
// none is.
func (r *recording) attackFrom(time float64) int {
	return sort.Search(len(r.attacks), func(k int) bool { return r.attacks[k].Time >= time })
}

// kind is 1 for an attack as low as a stamp or a pat, 0 for others.
func kind(a onset.Attack) int {
	if a.Low {
		return 1
	}
	return 0
}

func clamp(x, limit float64) float64 { return max(-limit, min(limit, x)) }

// nearest finds the attack closest to a time in constant time.
type nearest struct {
	times []float64 // of the attacks, seconds
	table []int32
}

const nearestStep = 0.005 // seconds

func newNearest(attacks []onset.Attack, seconds float64) nearest {
	n := nearest{times: make([]float64, len(attacks)), table: make([]int32, int(seconds/nearestStep)+2)}
	for i, a := range attacks {
		n.times[i] = a.Time
	}
	k := 0
	for i := range n.table {
		at := float64(i) * nearestStep
		for k+1 < len(attacks) && math.Abs(n.times[k+1]-at) <= math.Abs(n.times[k]-at) {
			k++
		}
		n.table[i] = int32(k)
	}
	return n
}

// index is the attack nearest to t, or -1 where none lies within reach seconds.
func (n *nearest) index(t, reach float64) int {
	if len(n.times) == 0 || t < -reach {
		return -1
	}
	i := int(n.table[min(max(int(t/nearestStep+0.5), 0), len(n.table)-1)])
	if math.Abs(n.times[i]-t) > reach {
		return -1
	}
	return i
}
