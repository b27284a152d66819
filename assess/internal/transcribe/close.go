package transcribe

import (
	"math"

	"clapladder.example/rhythm"
)

// Difference says how a call differs from a phrase.
type Difference int

// The differences.
const (
	OneMore Difference = iota // the call has one stroke that the phrase lacks
	OneLess                   // the call lacks one stroke of the phrase
)

// Close is a phrase that a call would be but for one stroke.
type Close struct {
	Phrase     int // index of the phrase
	Difference Difference
	Step       float64 // of the phrase, where the stroke is too many or missing
}

// Closest finds the phrase that a call of a rhythm of its own differs from by one stroke; ok is
// false where there is none. The first of equals wins. A stroke before the phrase's first has a
// negative step.
func Closest(call rhythm.Phrase, phrases []rhythm.Phrase) (best Close, ok bool) {
	played := strokeSteps(call)
	for i, p := range phrases {
		phrase := strokeSteps(p)
		switch len(played) - len(phrase) {
		case 1:
			if k, found := spare(played, phrase); found {
				return Close{i, OneMore, between(played, phrase, k)}, true
			}
		case -1:
			if k, found := spare(phrase, played); found {
				return Close{i, OneLess, phrase[k]}, true
			}
		}
	}
	return best, false
}

func strokeSteps(p rhythm.Phrase) []float64 {
	strokes := p.Strokes()
	out := make([]float64, len(strokes))
	for i, s := range strokes {
		out[i] = float64(s.Step)
	}
	return out
}

// spare is the stroke of more without which it has the intervals of fewer, up to the tempo.
func spare(more, fewer []float64) (k int, ok bool) {
	if len(fewer) < closeLeast {
		return 0, false
	}
	rest := make([]float64, 0, len(fewer))
	for k := range more {
		rest = append(append(rest[:0], more[:k]...), more[k+1:]...)
		if sameIntervals(rest, fewer) {
			return k, true
		}
	}
	return 0, false
}

// sameIntervals reports whether two rhythms of equally many strokes are one at two tempos.
func sameIntervals(a, b []float64) bool {
	last := len(a) - 1
	for i := range a {
		x := (a[i] - a[0]) / (a[last] - a[0])
		if math.Abs(x-(b[i]-b[0])/(b[last]-b[0])) > 1e-6 {
			return false
		}
	}
	return true
}

// between is the step of the phrase at which stroke k of the call lies.
func between(played, phrase []float64, k int) float64 {
	first, last := 0, len(played)-1
	if k == first {
		first = 1
	}
	if k == last {
		last--
	}
	scale := (phrase[len(phrase)-1] - phrase[0]) / (played[last] - played[first])
	return phrase[0] + (played[k]-played[first])*scale
}
