package exchange

import (
	"math"
	"sort"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/rhythm"
)

// traits are what tells one source of strokes from another.
type traits [traitCount]float64

const (
	level  = iota // dB, energy around the note
	thump         // dB, below 1 kHz over above
	focus         // share of the energy within 10 ms, logit
	width         // ln of seconds, spread of the energy
	colour        // share above 3 kHz of the sharpest rise there, 0 to 1, times 10; NaN without a rise
	traitCount
)

// Around a note its sound is looked for from before to after it, seconds, and no farther than half
// way to the next note.
const (
	lookBefore = 0.08
	lookAfter  = 0.14
	within     = 0.01 // what counts as one stroke's direct sound
	nearAttack = 0.06
)

// listener reads traits off an analysis.
type listener struct{ a *onset.Analysis }

// at reads the traits of the sound around a note between two bounds in seconds; false where nothing
// rises above the room.
func (l listener) at(time, from, to float64) (traits, bool) {
	clap, low := l.a.Envelope.Clap, l.a.Envelope.Low
	first := max(0, int(max(time-lookBefore, from)*onset.FrameRate))
	last := min(len(clap), int(min(time+lookAfter, to)*onset.FrameRate))
	if last-first < 15 {
		return traits{}, false
	}
	floor, lowFloor := 2*l.a.ClapFloor(time), 2*l.a.LowFloor(time)
	var sum, lowSum, moment, square, window, most float64
	const frames = int(within * onset.FrameRate)
	for i := first; i < last; i++ {
		p := max(0, float64(clap[i])-floor)
		t := float64(i-first) * onset.FrameSeconds
		sum, moment, square = sum+p, moment+p*t, square+p*t*t
		lowSum += max(0, float64(low[i])-lowFloor)
		window += p
		if i-frames >= first {
			window -= max(0, float64(clap[i-frames])-floor)
		}
		most = max(most, window)
	}
	if sum <= floor*2 || sum <= 0 {
		return traits{}, false
	}
	mean := moment / sum
	spread := math.Sqrt(max(0, square/sum-mean*mean))
	share := min(0.98, max(0.02, most/sum))
	x := traits{
		level: 10 * math.Log10(sum), thump: 10 * math.Log10((lowSum+0.01*sum)/sum),
		focus: math.Log(share / (1 - share)), width: math.Log(max(0.002, spread)), colour: math.NaN(),
	}
	if k := l.attack(time); k >= 0 {
		x[colour] = 10 * l.a.Attacks[k].Colour
	}
	return x, true
}

// attack is the strongest attack near a time, -1 where none is.
func (l listener) attack(time float64) int {
	attacks := l.a.Attacks
	best := -1
	for k := l.from(time - nearAttack); k < len(attacks) && attacks[k].Time <= time+nearAttack; k++ {
		if best < 0 || attacks[k].Power > attacks[best].Power {
			best = k
		}
	}
	return best
}

// from is the first attack at a time or after it.
func (l listener) from(time float64) int {
	return sort.Search(len(l.a.Attacks), func(k int) bool { return l.a.Attacks[k].Time >= time })
}

// notes are the times of a phrase's strokes.
func notes(p rhythm.Phrase, m rhythm.TimeMap) []float64 {
	strokes := p.Strokes()
	out := make([]float64, len(strokes))
	for i, s := range strokes {
		out[i] = m.At(float64(s.Step))
	}
	return out
}

// read lists the traits of the sound at notes.
func (l listener) read(times []float64) []traits {
	var out []traits
	for i, t := range times {
		from, to := math.Inf(-1), math.Inf(1)
		if i > 0 {
			from = (times[i-1] + t) / 2
		}
		if i+1 < len(times) {
			to = (times[i+1] + t) / 2
		}
		if x, ok := l.at(t, from, to); ok {
			out = append(out, x)
		}
	}
	return out
}
