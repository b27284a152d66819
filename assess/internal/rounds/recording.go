package rounds

import (
	"sort"

	"clapladder.example/assess/internal/activity"
	"clapladder.example/assess/internal/onset"
)

// recording is what sounds, whoever it belongs to. It never changes once made.
type recording struct {
	attacks  []onset.Attack
	level    []float64 // of each attack, dB
	single   []float64 // log odds of each attack that it comes from a single source near the phone
	nearest  onset.Nearest
	everyone bands // activity of all sources
	seconds  float64
}

// bands is one activity in two bands: of claps, and of everything, for stamps and pats.
type bands struct{ clap, full *activity.Everyone }

func newRecording(a *onset.Analysis) *recording {
	r := &recording{
		attacks: a.Attacks, level: make([]float64, len(a.Attacks)), single: make([]float64, len(a.Attacks)),
		nearest: onset.NewNearest(a.Attacks, a.Envelope.Seconds()), seconds: a.Envelope.Seconds(),
		everyone: bands{clap: activity.New(a, false), full: activity.New(a, true)},
	}
	for i, x := range a.Attacks {
		r.level[i] = x.Level()
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
